// A sound that does not swing round zero. Value: the offset, full scale 1.
//
// Means of quarter seconds; the offset is named when it is half a percent of full scale and eight standard errors of
// those means, of at least twelve. For means that scatter normally that is one chance in 10^5 at twelve (Student, 11
// degrees of freedom, computed) and less with more. Afterwards it stays.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

#include "listen/input_frame.hpp"

namespace hushmill::listen {

class OffsetWatch {
 public:
  void process(const InputFrame& frame) noexcept {
    sum_ += frame.mean;
    if (++frames_ < kFramesPerMean) return;
    const double mean = sum_ / kFramesPerMean;
    sum_ = 0;
    frames_ = 0;
    count_ = std::min(count_ + 1, kMostMeans);
    const double off = mean - mean_;
    mean_ += off / count_;
    spread_ += (off * (mean - mean_) - spread_) / count_;
    if (count_ < kLeastMeans) return;
    const double error = std::sqrt(spread_ / (count_ - 1));
    if (std::abs(mean_) < kLeastOffset || std::abs(mean_) < kLeastErrors * error) return;
    if (!finding_) finding_ = MicrophoneFinding{Warning::dc_offset, frame.end_s - kLeastMeans * kFramesPerMean * frame.frame_s(), 0, 0};
    finding_->until_s = frame.end_s;
    finding_->value = mean_;
  }
  std::optional<MicrophoneFinding> finding() const noexcept { return finding_; }

 private:
  static constexpr int kFramesPerMean = 12;
  static constexpr double kLeastMeans = 12;
  static constexpr double kMostMeans = 240;  // a minute
  static constexpr double kLeastOffset = 0.005;
  static constexpr double kLeastErrors = 8;
  double sum_ = 0;
  int frames_ = 0;
  double count_ = 0;
  double mean_ = 0;
  double spread_ = 0;
  std::optional<MicrophoneFinding> finding_;
};

}  // namespace hushmill::listen
