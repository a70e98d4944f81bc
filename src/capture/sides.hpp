// Do the two channels of a door hold what the chosen one needs? Watched where both still exist, before one is picked.
//
// Tenths of a second; one that is louder than −70 dBFS on either side counts. A fault is named when it held in four
// fifths of the last ten that counted, so after a second of sound. Opposite phase must show in the bass and in the treble:
// a lone tone may reach two microphones in opposite phase by chance of the place. Nothing allocates. [listening thread]
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "capture/channel.hpp"
#include "capture/source.hpp"

namespace hushmill::capture {

class Sides {
 public:
  Sides(double sample_rate_hz, int channels, Channel chosen) noexcept;

  /// Interleaved frames as they came; anything but two channels is ignored.
  void process(std::span<const float> interleaved) noexcept;
  SidesFault fault() const noexcept { return fault_; }

 private:
  struct Sums {
    double left = 0, right = 0, cross = 0;
    void add(float l, float r) noexcept;
    bool opposite() const noexcept;
  };
  void judge_tenth() noexcept;

  std::size_t frames_per_tenth_;
  bool two_;
  Channel chosen_;
  std::size_t in_tenth_ = 0;
  Sums whole_, steps_;
  float last_left_ = 0, last_right_ = 0;
  std::uint32_t recent_dead_ = 0, recent_opposite_ = 0;  ///< one bit a tenth, newest lowest
  int tenths_ = 0;
  SidesFault fault_ = SidesFault::none;
};

}  // namespace hushmill::capture
