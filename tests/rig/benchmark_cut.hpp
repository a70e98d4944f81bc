// The one-mode benchmark cut and how fast a small disturbance of it grows in the simulated machine.
//
// Parameters (from memory): T. Insperger, G. Stépán, "Updated semi-discretization method for periodic
// delay-differential equations with discrete delay", Int. J. Numer. Meth. Engng 61 (2004) 117-141.
#pragma once

#include <cmath>

#include "../cutting/benchmark_model.hpp"
#include "rig/machine.hpp"

namespace hushmill::test {

/// Settings of a cut without noise, droop or slow entry: what the linear theory speaks of.
inline rig::RigSettings bare_cut(const cutting::CutModel& model, double spindle_rpm, double radial_fraction,
                                 cutting::Milling milling, double depth_mm) {
  rig::RigSettings settings;
  settings.model = model;
  settings.milling = milling;
  settings.start = {.spindle_rpm = spindle_rpm,
                    .depth_mm = depth_mm,
                    .radial_mm = radial_fraction * model.cutter.diameter_mm,
                    .feed_per_tooth_mm = 0.1,
                    .in_cut = true};
  settings.entry_revolutions = 0.1;
  settings.spindle.droop_rpm_per_n_m = 0;
  settings.sound.force_noise = 0;
  return settings;
}

struct Growth {
  double per_tooth = 0;  ///< factor, the spectral radius of the linear theory
  bool lifted = false;   ///< a tooth left the cut, so the factor means nothing: far beyond the limit
};

/// Runs the same cut twice, one of them knocked a little, and compares how the difference grows over some teeth.
inline Growth growth(const rig::RigSettings& settings, double inner_rate_hz, double lead_teeth = 60,
                     double teeth = 100) {
  using cutting::kTurn;
  constexpr double kWindow = 4;
  rig::Machine still(settings, inner_rate_hz);
  rig::Machine knocked(settings, inner_rate_hz);
  bool lifted = false;
  const auto run = [&](double turns) {
    double sum = 0;
    const double until = still.angle_rad() + turns * kTurn;
    int step = 0;
    while (still.angle_rad() < until) {
      still.step();
      knocked.step();
      if (++step % 500 == 0) lifted = lifted || still.truth().teeth_leave_cut;
      const double x = knocked.vibration_m().x - still.vibration_m().x;
      const double y = knocked.vibration_m().y - still.vibration_m().y;
      sum += x * x + y * y;
    }
    lifted = lifted || still.truth().teeth_leave_cut;
    return sum;
  };
  const double flutes = settings.model.cutter.flutes;
  run(3);
  lifted = false;  // the entry does not count
  knocked.nudge({1e-8, 1e-8});
  run(lead_teeth / flutes);
  const double before = run(kWindow);
  run(teeth / flutes - kWindow);
  const double after = run(kWindow);
  return {std::pow(after / before, 0.5 / teeth), lifted};
}

}  // namespace hushmill::test
