// A small time-domain milling cut for judging advice: regenerative, teeth may leave the cut, process damping.
//
// Kept apart from the rig on purpose: advice is tried on physics that shares no code with the adviser. No sound, no
// runout: whatever does not repeat from tooth to tooth is chatter. Deterministic.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace hushmill::test {

/// One mode of the relative motion of tool and part.
struct TrialMode {
  bool along_feed = true;
  double hz = 0;
  double damping_ratio = 0;
  double stiffness_n_m = 0;
};

struct TrialCut {
  std::vector<TrialMode> modes;
  int flutes = 4;
  double diameter_mm = 10;
  double engagement = 0.5;  ///< radial width over diameter
  bool climb = true;
  double depth_mm = 1;
  double feed_per_tooth_mm = 0.08;
  double tangential_n_mm2 = 800;
  double radial_ratio = 0.35;  ///< radial over tangential coefficient
  double damping_n_mm = 0;     ///< process damping C in F = C b v / V_c
};

/// What a listener beside the cut would know after up to three seconds.
struct TrialSound {
  bool chatters = false;
  double chatter_hz = 0;               ///< strongest line that is not in step with the teeth
  std::optional<double> growth_per_s;  ///< when the rise was slow enough to be seen
};

/// Runs the cut from entry for three seconds, less when the outcome is plain before. `noise_db` sets white noise that
/// far below the motion before the line is looked for.
TrialSound run_trial(const TrialCut& cut, double spindle_rpm, std::optional<double> noise_db, std::uint32_t seed);

}  // namespace hushmill::test
