#include "advise/tooth_growth.hpp"

#include <cmath>
#include <vector>

#include "advise/benchmark_cut.hpp"
#include "support/catch.hpp"

namespace {

using namespace hushmill::advise;
using namespace hushmill::test;

ToothGrowth growth(double engagement, bool climb, double depth_mm, double rpm) {
  return tooth_growth(benchmark_guess(engagement, climb, depth_mm), rpm, kBenchmarkFlutes);
}

TEST_CASE("growth changes sign within five percent of the computed limits, period doubling included") {
  for (const BenchmarkLimit& point : kBenchmarkLimits) {
    CAPTURE(point.engagement, point.climb, point.spindle_rpm);
    CHECK(growth(point.engagement, point.climb, 0.95 * point.limit_mm, point.spindle_rpm).log_growth < 0);
    const ToothGrowth above = growth(point.engagement, point.climb, 1.05 * point.limit_mm, point.spindle_rpm);
    CHECK(above.log_growth > 0);
    CHECK((above.turn == 0.5) == point.period_doubling);
  }
}

TEST_CASE("multipliers agree with the table for the full slot at 5000 rev/min") {
  // Converged values, computed (extrapolated semi-discretization and direct integration agree to five digits); the
  // published ones for k = 200 (Y. Ding et al., "A full-discretization method for prediction of milling stability",
  // 2010, from memory) lie within 0.0025 of them.
  const struct { double depth_mm, size; } rows[] = {{0.2, 0.81974}, {0.5, 1.07398}, {0.7, 1.22156}, {1.0, 1.40647}};
  for (const auto& row : rows)
    CHECK_THAT(std::exp(growth(1.0, true, row.depth_mm, 5000).log_growth), WithinRel(row.size, 0.01));
}

TEST_CASE("the turn is the fraction of a wave between teeth") {
  // Computed: chatter at 942.7 Hz at the limit, tooth passing at 166.67 Hz.
  const double waves = 942.7 * 60 / (5000.0 * 2);
  CHECK_THAT(growth(1.0, true, 0.4086, 5000).turn, WithinAbs(std::abs(waves - std::round(waves)), 0.004));
}

TEST_CASE("deeper grows faster, and an uncut tool only decays") {
  double before = -10;
  for (const double depth_mm : {0.0, 0.2, 0.4, 0.6, 0.8, 1.0, 1.4}) {
    const double now = growth(1.0, true, depth_mm, 7500).log_growth;
    CHECK(now > before);
    before = now;
  }
  // Free decay over one tooth period: 2 pi f zeta T (derived).
  CHECK_THAT(growth(1.0, true, 0.0, 7500).log_growth, WithinRel(-2 * std::numbers::pi * 922 * 0.011 / 250, 0.01));
}

TEST_CASE("rubbing damps, the more the slower, and as one mode's share of damping where it is small") {
  const auto with_rubbing = [](double length_mm, double rpm) {
    FlexibleCut cut = benchmark_guess(1.0, true, 0.4);
    cut.rub_length_mm = length_mm;
    cut.diameter_mm = 12;
    return tooth_growth(cut, rpm, kBenchmarkFlutes).log_growth;
  };
  for (const double rpm : {5000.0, 7500.0}) {
    double before = 10;
    for (const double length_mm : {0.0, 0.01, 0.03, 0.1}) {
      const double now = with_rubbing(length_mm, rpm);
      CHECK(now < before);
      before = now;
    }
  }
  // Derived: in the full slot the rubbing averages to b rub_x compliance w L / (2 v) of damping ratio, and the growth per
  // tooth falls by about 2 pi f zeta T; the averaged angle and the delay make it a rough check.
  FlexibleCut cut = benchmark_guess(1.0, true, 0.4);
  cut.diameter_mm = 12;
  const double surface_mm_s = std::numbers::pi * 12 * 7500 / 60;
  const double damping = 0.5 * cut.depth * cut.rub_x * 2 * std::numbers::pi * 922 * 0.005 / surface_mm_s;
  const double fall = with_rubbing(0, 7500) - with_rubbing(0.005, 7500);
  CHECK_THAT(fall, WithinRel(2 * std::numbers::pi * 922 * damping / 250, 0.5));
}

TEST_CASE("cuts stepped side by side grow as each does alone, and the same each time") {
  std::vector<FlexibleCut> cuts;
  for (int i = 0; i < 11; ++i) cuts.push_back(benchmark_guess(0.3 + 0.05 * i, i % 2 == 0, 0.2 + 0.1 * i));
  std::vector<const FlexibleCut*> all;
  for (const FlexibleCut& cut : cuts) all.push_back(&cut);
  std::vector<ToothGrowth> together(cuts.size());
  tooth_growths(all, 7500, kBenchmarkFlutes, 1.0, Wanted::multiplier, together);
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    const ToothGrowth alone = tooth_growth(cuts[i], 7500, kBenchmarkFlutes);
    // Side by side they are stepped until the last of them is known, so the others become a little surer.
    CHECK_THAT(together[i].log_growth, WithinAbs(alone.log_growth, 0.01));
  }
  std::vector<ToothGrowth> again(cuts.size());
  tooth_growths(all, 7500, kBenchmarkFlutes, 1.0, Wanted::multiplier, again);
  for (std::size_t i = 0; i < cuts.size(); ++i) CHECK(together[i].log_growth == again[i].log_growth);
}

TEST_CASE("the members of a chatter family share its energy, and the one by the mode has the most") {
  // Computed: chatter at 942.7 Hz at the limit; the mode is at 922 Hz, tooth passing at 166.67 Hz.
  const FlexibleCut cut = benchmark_guess(1.0, true, 0.45);
  const FlexibleCut* const one = &cut;
  double sum = 0;
  double most = 0;
  double most_hz = 0;
  for (int member = -12; member <= 12; ++member) {
    const double hz = std::abs(942.7 + member * 166.67);
    ToothGrowth growth;
    tooth_growths({&one, 1}, 5000, kBenchmarkFlutes, 1.0, Wanted::multiplier, {&growth, 1}, hz * 60 / (5000.0 * kBenchmarkFlutes));
    CHECK(growth.share >= 0);
    sum += growth.share;
    if (growth.share > most) most = growth.share, most_hz = hz;
  }
  CHECK_THAT(most_hz, WithinAbs(942.7, 1e-6));
  CHECK(most > 0.5);
  CHECK_THAT(sum, WithinAbs(1.0, 0.1));
}

}  // namespace
