// How many samples of a source that never waits may be read by now, so that it runs at the speed of real sound.
//
// The caller brings the time, so that the listener never meets a clock and a test needs none. After a stall (a sleeping
// laptop) the missing time is let go of instead of being caught up in one burst.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>

namespace hushmill::live {

class Pace {
 public:
  using Time = std::chrono::steady_clock::time_point;

  Pace(double sample_rate_hz, Time start) noexcept : rate_hz_(sample_rate_hz), start_(start) {}

  /// Samples that may be read at `now`, at most half a second of them.
  std::size_t due(Time now) noexcept;
  /// So many of them were read.
  void took(std::size_t samples) noexcept { taken_ += samples; }

 private:
  double rate_hz_;
  Time start_;
  std::uint64_t taken_ = 0;
};

}  // namespace hushmill::live
