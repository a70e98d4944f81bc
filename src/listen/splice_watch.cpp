#include "listen/splice_watch.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr std::size_t kSide = 24;          // samples on either side
constexpr double kLeastRatio = 7;
constexpr double kMostNeighbour = 0.35;    // of the jump
constexpr double kScreenRatio = 3.5;       // of the whole frame's steps, before a closer look
constexpr float kLeastStep = 5e-4F;        // 16 steps of 16 bits
constexpr int kLeastJumps = 3;
constexpr int kManyJumps = 5;
constexpr double kLeastRarer = 0.15;

double rms_of_steps(std::span<const float> x) noexcept {
  double sum = 0;
  for (std::size_t i = 1; i < x.size(); ++i) {
    const double d = static_cast<double>(x[i] - x[i - 1]);
    sum += d * d;
  }
  return std::sqrt(sum / static_cast<double>(x.size() - 1));
}
}  // namespace

void SpliceWatch::process(const InputFrame& frame) noexcept {
  const double step = static_cast<double>(frame.largest_step);
  if (frame.largest_step < kLeastStep || step * step < kScreenRatio * kScreenRatio * frame.step_power) return;
  const auto x = frame.past_and_frame;
  const std::size_t at = frame.largest_step_at;
  if (at < kSide + 2 || at + kSide + 1 >= x.size()) return;
  const double neighbour = std::max(std::abs(x[at - 1] - x[at - 2]), std::abs(x[at + 1] - x[at]));
  if (neighbour > kMostNeighbour * step) return;
  const double before = rms_of_steps(x.subspan(at - kSide, kSide));
  const double after = rms_of_steps(x.subspan(at, kSide));
  if (step < kLeastRatio * std::max(before, after)) return;
  last_s_ = frame.end_s - static_cast<double>(x.size() - at) / frame.rate_hz;
  if (jumps_++ == 0) first_s_ = last_s_;
  if (x[at] > x[at - 1]) ++upward_;
}

std::optional<MicrophoneFinding> SpliceWatch::finding() const noexcept {
  if (jumps_ < kLeastJumps) return std::nullopt;
  const int rarer = std::min(upward_, jumps_ - upward_);
  if (teeth_ && jumps_ >= kManyJumps && rarer < kLeastRarer * jumps_) return std::nullopt;
  return MicrophoneFinding{Warning::dropped_samples, first_s_, last_s_, static_cast<double>(jumps_)};
}

}  // namespace hushmill::listen
