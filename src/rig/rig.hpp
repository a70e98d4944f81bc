// The simulated machine: a time-domain regenerative milling cut and the sound it makes.
//
// Deterministic by seed. `process` allocates nothing and runs many times faster than the sound it makes.
#pragma once

#include <cstdint>
#include <memory>
#include <span>

namespace hushmill::rig {

/// What may be turned while it runs. Engagement 0 to 1 of the diameter; depth 0 is an air cut.
struct RigControls {
  double spindle_rpm = 6000;
  double depth_mm = 1.0;
  double radial_mm = 6.0;
  double feed_per_tooth_mm = 0.05;
  bool in_cut = true;  ///< false: the tool leaves the material within about a revolution
};

/// What is true of this moment, for labels and tests; a listener never sees it.
struct RigTruth {
  double spindle_rpm = 0;        ///< the true speed, droop included
  double synchronous_rms = 0;    ///< displacement in step with the rotation, over the last four revolutions, m
  double chatter_rms = 0;        ///< displacement not in step with the rotation, over the same, m
  bool teeth_leave_cut = false;  ///< within the last revolution the vibration lifted a tooth out of the cut
};

}  // namespace hushmill::rig
