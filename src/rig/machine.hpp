// Spindle, path, cut and modes stepped together: the simulated machine without its sound.
//
// Runs at its own inner rate. Every `kStepsPerTick` steps the slow things move on (speed, engagement, path). Allocates
// in the constructor only. One thread.
#pragma once

#include <optional>

#include "rig/clean_track.hpp"
#include "rig/cut.hpp"
#include "rig/past.hpp"
#include "rig/random.hpp"
#include "rig/rig_settings.hpp"
#include "rig/spindle.hpp"
#include "rig/tip.hpp"

namespace hushmill::rig {

class Machine {
 public:
  /// Settings as `check` lets them pass.
  Machine(const RigSettings& settings, double inner_rate_hz);

  /// One step of the inner rate.
  void step() noexcept;
  void turn(const RigControls& controls) noexcept;

  /// At the end of the last step.
  Pair force_n() const noexcept { return force_.on_tool_n; }
  Pair tool_acceleration() const noexcept { return tip_.tool_acceleration(); }
  Pair part_acceleration() const noexcept { return tip_.part_acceleration(); }
  Pair vibration_m() const noexcept { return tip_.position_m(); }
  double angle_rad() const noexcept { return angle_rad_; }
  double rpm() const noexcept { return rpm_; }
  const RigControls& controls() const noexcept { return wanted_; }
  RigTruth truth() const noexcept;
  /// Knocks the tool aside.
  void nudge(Pair by_m) noexcept { tip_.nudge(by_m); }

 private:
  static constexpr int kStepsPerTick = 32;
  /// The same cut under the same spindle, path and roughness, but each tooth meets a smooth surface: what the vibration
  /// would be if nothing could chatter.
  struct SmoothTwin {
    SmoothTwin(const RigSettings& settings, double step_s, std::size_t track_steps);
    Tip tip;
    Cut cut;
    CleanTrack track;
    Pair force_n{};
  };
  void tick() noexcept;
  void watch_steadiness(double arc_rad, double depth_m) noexcept;
  CutForce cut_step(Tip& tip, Cut& cut, Pair force_n, double roughness) noexcept;
  bool chatters(const RigTruth& truth) const noexcept;

  RigSettings settings_;
  double step_s_;
  RigControls wanted_, now_;
  Spindle spindle_;
  Tip tip_;
  Cut cut_;
  Past past_;
  CleanTrack track_;
  std::optional<SmoothTwin> twin_;
  Random random_;
  double noise_scale_;

  CutForce force_{};
  int steps_to_tick_ = 0;
  bool track_this_step_ = false;
  double angle_rad_ = 0, angle_per_step_rad_ = 0, rpm_ = 0;
  double in_cut_share_ = 0, torque_sum_n_m_ = 0;
  double travelled_mm_ = 0;
  Pair travel_m_{}, travel_per_rad_m_{};
  double arc_rad_ = 0, depth_m_ = 0;
  double steady_arc_rad_ = 0, steady_depth_m_ = 0, steady_rpm_ = 0, steady_feed_mm_ = 0, unsteady_at_rad_ = 0;
  double lifted_at_rad_ = -1e9;
};

}  // namespace hushmill::rig
