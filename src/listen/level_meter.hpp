// Level, peak, clipping and bad samples of the sound as it came in, before any filter.
#pragma once

#include <cmath>
#include <cstdint>

#include "listen/good_sample.hpp"
#include "signal/decibel.hpp"

namespace hushmill::listen {

class LevelMeter {
 public:
  /// Takes one sample and returns it, or 0 for what is no sound. Counts what is wrong with it.
  float process(float sample) noexcept {
    if (!is_good_sample(sample)) {
      ++bad_samples_;
      sample = 0;
    }
    const float size = std::abs(sample);
    // One sample at full scale may be chance; two in a row are a clipped top.
    const bool full = size >= kFullScale;
    if (full && was_full_) ++clipped_samples_;
    was_full_ = full;
    if (size > peak_) peak_ = size;
    if (size > highest_) highest_ = size;
    sum_squares_ += static_cast<double>(sample) * static_cast<double>(sample);
    ++count_;
    return sample;
  }

  /// Mean power since the last call, a full-scale sine reads 0 dBFS.
  double take_level_dbfs() noexcept {
    const double level = count_ == 0 ? signal::kSilenceDb : signal::power_db(2.0 * sum_squares_ / static_cast<double>(count_));
    sum_squares_ = 0;
    count_ = 0;
    return level;
  }
  /// Largest sample since the last call.
  double take_peak_dbfs() noexcept {
    const double peak = signal::amplitude_db(static_cast<double>(peak_));
    peak_ = 0;
    return peak;
  }
  /// Largest sample since the start.
  double highest_dbfs() const noexcept { return signal::amplitude_db(static_cast<double>(highest_)); }
  std::uint64_t clipped_samples() const noexcept { return clipped_samples_; }
  std::uint64_t bad_samples() const noexcept { return bad_samples_; }

 private:
  static constexpr float kFullScale = 0.9995F;
  float peak_ = 0;
  float highest_ = 0;
  bool was_full_ = false;
  double sum_squares_ = 0;
  std::uint64_t count_ = 0;
  std::uint64_t clipped_samples_ = 0;
  std::uint64_t bad_samples_ = 0;
};

}  // namespace hushmill::listen
