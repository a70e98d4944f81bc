// What the microphone hears of the machine: accelerations and forces in, sound out.
//
// Parts of the sound are kept apart until their levels are known (`Shares`). Allocates in the constructor only. One
// thread.
#pragma once

#include <array>
#include <cstdint>

#include "rig/decimator.hpp"
#include "rig/frame.hpp"
#include "rig/random.hpp"
#include "rig/rig_settings.hpp"
#include "rig/room.hpp"

namespace hushmill::rig {

class Voice {
 public:
  /// Tool, part, frame, noise of the cut.
  using Shares = std::array<float, 4>;

  Voice(const RigSettings& settings);

  /// The four parts from one decimated frame (tool and part acceleration, force along x and y).
  Shares parts(const Decimator::Frame& frame) noexcept;
  /// Mixes them in the room and adds what sounds without a cut. `revolutions`: the spindle's turns so far.
  float mix(const Shares& parts, const Shares& gains, double revolutions) noexcept;
  /// The cut alone in the room, for setting the level.
  float cut_alone(const Shares& parts, const Shares& gains) noexcept;

 private:
  struct LowPass {
    float share = 1, y = 0;
    float process(float x) noexcept { return y += share * (x - y); }
  };
  Frame frame_;
  Room room_;
  Random chips_, idle_;
  LowPass air_tool_, air_part_, chips_low_, chips_high_, load_, idle_low_, hum_low_;
  float idle_level_, room_level_;
};

}  // namespace hushmill::rig
