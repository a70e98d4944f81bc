// The simulated machine with the real engine beside it, as most lessons use it: room first, then the cut.
//
// Allocates in the constructor. One thread.
#pragma once

#include <cstdint>
#include <span>

#include "lessons/ear.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"

namespace hushmill::lessons {

class CutBench {
 public:
  /// `settings.start` says what is cut once the room has been heard.
  explicit CutBench(rig::RigSettings settings);

  void process(std::span<float> sound);
  /// Speed and depth, in a fresh pass: the tool leaves the cut, the spindle turns to its new speed, and the tool comes
  /// back after a second of room. The engine listens on; what is judged begins anew.
  void turn(double spindle_rpm, double depth_mm);
  /// The same without a change.
  void cut_afresh();

  const rig::RigControls& controls() const noexcept { return wanted_; }
  const rig::RigSettings& settings() const noexcept { return settings_; }
  rig::RigTruth truth() const noexcept { return rig_.truth(); }
  const Ear& ear() const noexcept { return ear_; }
  Heard heard() const { return ear_.heard(); }
  double t_s() const noexcept;

 private:
  void begin_pass(double spindle_settles_s);

  rig::RigSettings settings_;
  rig::RigControls wanted_;
  rig::Rig rig_;
  Ear ear_;
  std::uint64_t samples_ = 0, enter_at_ = 0;
};

}  // namespace hushmill::lessons
