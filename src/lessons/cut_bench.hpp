// The simulated machine with the real engine beside it, as most lessons use it: room first, then the cut.
//
// Allocates in the constructor. One thread.
#pragma once

#include <cstdint>
#include <memory>
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
  /// Speed and depth, in a fresh pass: the tool leaves the cut, the spindle turns to its new speed, the engine begins
  /// anew with a second of room, as for any first cut, and the tool comes back.
  void turn(double spindle_rpm, double depth_mm);
  /// The same without a change.
  void cut_afresh();

  const rig::RigControls& controls() const noexcept { return wanted_; }
  const rig::RigSettings& settings() const noexcept { return settings_; }
  rig::RigTruth truth() const noexcept { return rig_.truth(); }
  const Ear& ear() const noexcept { return *ear_; }
  /// What the engine says, chatters of earlier passes among them.
  Heard heard() const;
  double t_s() const noexcept;

 private:
  void begin_pass(double spindle_settles_s);

  rig::RigSettings settings_;
  rig::RigControls wanted_;
  rig::Rig rig_;
  std::unique_ptr<Ear> ear_;
  int episodes_before_ = 0;
  std::uint64_t samples_ = 0, enter_at_ = 0;
};

}  // namespace hushmill::lessons
