#include "advise/lobe_curve.hpp"

#include <cmath>
#include <numbers>

#include "advise/anchor.hpp"
#include "advise/benchmark_cut.hpp"
#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;
using namespace hushmill::test;

// Depth in mm for a depth in the adviser's unit.
double mm(double depth) { return depth / benchmark_guess(1.0, true, 1.0).depth; }

double limit_mm(const FlexibleCut& cut, double rpm) {
  LobeCurve curve;
  curve.sample(cut, 1.0);
  return mm(curve.limits_at(kBenchmarkHz * 60 / (rpm * kBenchmarkFlutes))[0].depth);
}

TEST_CASE("limits of one mode agree with the closed form of zero-order theory") {
  // Computed from the closed form; formulas by Altintas and Budak, 1995 (from memory).
  CHECK_THAT(limit_mm(benchmark_guess(1.0, true, 1), 5000), WithinRel(0.3699, 0.015));
  CHECK_THAT(limit_mm(benchmark_guess(1.0, true, 1), 10000), WithinRel(0.3069, 0.015));
  CHECK_THAT(limit_mm(benchmark_guess(0.5, false, 1), 5000), WithinRel(0.2543, 0.015));
  CHECK_THAT(limit_mm(benchmark_guess(0.5, true, 1), 5000), WithinRel(0.9218, 0.015));
  CHECK_THAT(limit_mm(benchmark_guess(0.5, true, 1), 10000), WithinRel(3.0182, 0.02));
  CHECK_THAT(limit_mm(benchmark_guess(0.05, false, 1), 10000), WithinRel(1.5333, 0.015));
}

TEST_CASE("two modes at half engagement have the computed lowest limit") {
  // Example of Altintas and Budak, 1995 (data from memory): 603 Hz and 666 Hz, half engagement, conventional, K_t 600
  // N/mm^2, K_r 0.07, four teeth; lowest limit 0.8148 mm at 633.0 Hz, 6246.0 rev/min among others (computed).
  FlexibleCut cut;
  cut.add({true, 1.0, 1.0, 0.039, 0.0});
  cut.add({false, 666.0 / 603.0, 5.6e6 / 5.7e6, 0.035, 0.0});
  cut.set_engagement(0.5, false, 0.07);
  CHECK_THAT(cut.axx, WithinAbs(-1.10996, 1e-5));
  CHECK_THAT(cut.axy, WithinAbs(-1.64080, 1e-5));
  CHECK_THAT(cut.ayx, WithinAbs(1.50080, 1e-5));
  CHECK_THAT(cut.ayy, WithinAbs(0.89004, 1e-5));
  LobeCurve curve;
  curve.sample(cut, 1.0);
  const Crossing limit = curve.limits_at(603.0 * 60 / (6246.0 * 4))[0];
  CHECK_THAT(limit.depth * 5.6e6 * 4 * std::numbers::pi / (4 * 600e6) * 1e3, WithinRel(0.8148, 0.01));
  CHECK_THAT(limit.ratio * 603.0, WithinRel(633.0, 0.003));
}

TEST_CASE("an anchored cut chatters at the frequency that was heard") {
  // Computed: the benchmark slot chatters at 942.7 Hz at its limit at 5000 rev/min.
  FlexibleCut cut = benchmark_guess(1.0, true, 1);
  cut.first_mode_hz = 0;
  cut.overload = 1.05;
  LobeCurve curve;
  REQUIRE(anchor(cut, curve, {5000, 942.7, std::nullopt}, 942.7, kBenchmarkFlutes));
  CHECK_THAT(cut.first_mode_hz, WithinRel(kBenchmarkHz, 0.002));
  CHECK_THAT(mm(cut.depth), WithinRel(1.05 * 0.3699, 0.02));
  CHECK(cut.weight > 0);
}

}  // namespace
