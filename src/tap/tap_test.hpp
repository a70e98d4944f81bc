// The tap test: sound in, modes out.
//
// Keeps the whole sound (a tap test is short) and looks at it when asked, so blocks of any size and any level give the same answer.
// findings() takes some tenths of a second of computing. Needs no device and no clock. One thread.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "tap/findings.hpp"

namespace hushmill::tap {

inline constexpr double kLowestRateHz = 8000;
inline constexpr double kHighestRateHz = 192000;
/// Sound after this is not looked at.
inline constexpr double kLongestS = 300;

class TapTest {
 public:
  /// Throws std::invalid_argument for a rate outside 8 to 192 kHz.
  explicit TapTest(double sample_rate_hz);

  /// Next samples, any number. Those that are no numbers become silence and are counted.
  void process(std::span<const float> samples);
  void reset() noexcept;
  /// Taps that count so far, and those that do not, without their modes: cheap enough for several times a second.
  Findings taps() const;
  /// All of it.
  Findings findings() const;
  /// The ring after one of the taps that count, for a picture; `at` is its time.
  std::span<const float> ring(double at_s, double length_s) const noexcept;

  double sample_rate_hz() const noexcept { return rate_hz_; }
  double heard_s() const noexcept { return static_cast<double>(sound_.size()) / rate_hz_; }

 private:
  struct Judged;
  Judged judge() const;

  double rate_hz_;
  std::vector<float> sound_;
  std::uint64_t bad_samples_ = 0;
};

}  // namespace hushmill::tap
