// The one-mode milling benchmark: 922 Hz, damping 0.011, 1.34e6 N/m, two teeth, K_t 600 and K_n 200 N/mm^2
// (T. Insperger, G. Stepan, "Updated semi-discretization method for periodic delay-differential equations with discrete
// delay", 2004; parameters from memory), as the adviser's guess and as a trial cut.
#pragma once

#include <numbers>

#include "advise/flexible_cut.hpp"
#include "advise/trial_cut.hpp"

namespace hushmill::test {

inline constexpr double kBenchmarkHz = 922;
inline constexpr double kBenchmarkStiffness = 1340049.648;
inline constexpr int kBenchmarkFlutes = 2;

inline advise::FlexibleCut benchmark_guess(double engagement, bool climb, double depth_mm) {
  advise::FlexibleCut cut;
  cut.add({true, 1.0, 1.0, 0.011, 0.0});
  cut.set_engagement(engagement, climb, 1.0 / 3.0);
  cut.first_mode_hz = kBenchmarkHz;
  cut.depth = depth_mm * 1e-3 * kBenchmarkFlutes * 600e6 / (4 * std::numbers::pi) / kBenchmarkStiffness;
  return cut;
}

inline TrialCut benchmark_trial(double engagement, bool climb, double depth_mm) {
  TrialCut cut;
  cut.modes = {{true, kBenchmarkHz, 0.011, kBenchmarkStiffness}};
  cut.flutes = kBenchmarkFlutes;
  cut.engagement = engagement;
  cut.climb = climb;
  cut.depth_mm = depth_mm;
  cut.tangential_n_mm2 = 600;
  cut.radial_ratio = 1.0 / 3.0;
  return cut;
}

/// Computed limits (semi-discretization of order one, extrapolated), not published: limit in mm at a speed.
struct BenchmarkLimit {
  double engagement;
  bool climb;
  double spindle_rpm;
  double limit_mm;
  bool period_doubling;
};
inline constexpr BenchmarkLimit kBenchmarkLimits[] = {
    {1.0, true, 5000, 0.4086, false},    {1.0, true, 7500, 0.3206, false},  {1.0, true, 10000, 0.3224, false},
    {1.0, true, 12500, 2.7070, true},    {0.5, false, 5000, 0.2603, false}, {0.5, false, 10000, 0.2135, false},
    {0.5, true, 5000, 0.8472, false},    {0.5, true, 7500, 1.6120, false},  {0.5, true, 10000, 2.1047, true},
    {0.1, true, 7500, 1.9201, true},     {0.1, true, 10000, 2.5181, true},  {0.1, false, 7500, 0.8085, false},
    {0.05, false, 10000, 1.6577, false}, {0.05, true, 7500, 2.6231, true},
};

}  // namespace hushmill::test
