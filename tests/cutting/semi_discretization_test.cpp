#include "cutting/semi_discretization.hpp"

#include <cmath>
#include <vector>

#include "benchmark_model.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using cutting::ChatterKind;
using cutting::Milling;
using cutting::SemiDiscretization;
using test::WithinAbs;
using test::WithinRel;

namespace {

SemiDiscretization benchmark(double radial_fraction, Milling milling,
                             cutting::SemiDiscretizationSettings settings = {}) {
  const cutting::CutModel model = test::benchmark_model();
  return SemiDiscretization(model, radial_fraction * model.cutter.diameter_mm, milling, settings);
}

}  // namespace

TEST_CASE("Full slot, 200 intervals: the spectral radii that the literature gives") {
  // From memory: Y. Ding, L. Zhu, X. Zhang, H. Ding, "A full-discretization method for prediction of milling
  // stability", Int. J. Mach. Tools Manuf. 50 (2010) 502-509; T. Insperger, "Full-discretization and
  // semi-discretization for milling stability prediction: some comments", ibid. 50 (2010) 658-662. Their "exact" values
  // are those of about 200 intervals.
  const struct {
    double depth_mm, from_memory, computed;
  } rows[] = {{0.2, 0.8192, 0.81929}, {0.5, 1.0726, 1.07273}, {0.7, 1.2197, 1.21985}, {1.0, 1.4040, 1.40417}};
  for (const auto& row : rows) {
    for (const Milling milling : {Milling::climb, Milling::conventional}) {
      const cutting::Multiplier mu = benchmark(1.0, milling).multiplier(5000, row.depth_mm, 200);
      INFO(row.depth_mm << " mm");
      CHECK_THAT(std::abs(mu.value), WithinAbs(row.from_memory, 2e-4));
      CHECK_THAT(std::abs(mu.value), WithinAbs(row.computed, 2e-5));  // computed
    }
  }
}

TEST_CASE("Full slot: the multiplier converges with the square of the interval to the computed value") {
  // Computed (Richardson extrapolation, and direct integration of the delay equation); not published.
  const struct { double depth_mm, radius; } rows[] = {{0.2, 0.81974}, {0.5, 1.07398}, {0.7, 1.22156}, {1.0, 1.40647}};
  for (const auto& row : rows) {
    const SemiDiscretization slot = benchmark(1.0, Milling::climb);
    const double at_150 = std::abs(slot.multiplier(5000, row.depth_mm, 150).value);
    const double at_300 = std::abs(slot.multiplier(5000, row.depth_mm, 300).value);
    CHECK_THAT(at_300 + (at_300 - at_150) / 3.0, WithinAbs(row.radius, 3e-5));
    CHECK_THAT((row.radius - at_150) / (row.radius - at_300), WithinAbs(4.0, 0.3));
  }
  const struct {
    int intervals;
    double at_02, at_10;
  } steps[] = {{20, 0.78072, 1.19826}, {40, 0.80875, 1.35026}, {80, 0.81691, 1.39214}, {160, 0.81903, 1.40287}};
  for (const auto& step : steps) {
    const SemiDiscretization slot = benchmark(1.0, Milling::climb);
    CHECK_THAT(std::abs(slot.multiplier(5000, 0.2, step.intervals).value), WithinAbs(step.at_02, 2e-5));
    CHECK_THAT(std::abs(slot.multiplier(5000, 1.0, step.intervals).value), WithinAbs(step.at_10, 2e-5));
  }
}

TEST_CASE("Multipliers at other engagements and speeds, climb and conventional") {
  // Computed with 160 intervals; not published. At low engagement it matters by about 1e-4 where the intervals begin.
  const struct {
    double radial_fraction;
    Milling milling;
    double rpm, depth_mm, real, imaginary;
  } rows[] = {{1, Milling::climb, 10000, 0.5, 0.34841, 1.01630},
              {1, Milling::climb, 20000, 1.0, -0.85009, 0.16844},
              {0.5, Milling::conventional, 5000, 0.5, -0.34259, 1.25765},
              {0.5, Milling::conventional, 20000, 1.0, -0.94726, 0.06406},
              {0.5, Milling::climb, 5000, 1.0, -0.74017, 0.79345},
              {0.5, Milling::climb, 10000, 1.0, -0.25562, 0.28814},
              {0.1, Milling::climb, 10000, 1.0, -0.06182, 0.57910},
              {0.1, Milling::conventional, 7500, 1.0, -0.04279, 1.04364},
              {0.05, Milling::climb, 5000, 1.0, -0.71636, 0.21922},
              {0.05, Milling::conventional, 10000, 1.0, 0.18918, 0.91960}};
  for (const auto& row : rows) {
    const cutting::Multiplier mu = benchmark(row.radial_fraction, row.milling).multiplier(row.rpm, row.depth_mm, 160);
    INFO("a/D " << row.radial_fraction << ", " << row.rpm << " rpm");
    CHECK_THAT(mu.value.real(), WithinAbs(row.real, 1.5e-4));
    CHECK_THAT(std::abs(mu.value.imag()), WithinAbs(row.imaginary, 1.5e-4));
    CHECK(mu.residual < 1e-6);
  }
}

TEST_CASE("Critical depths, kinds and chatter frequencies of the benchmark") {
  // Computed (120 and 240 intervals, Richardson); not published. The frequency listed is the member of the family that
  // is nearest to the natural frequency; the strongest must be a member too.
  constexpr auto hopf = ChatterKind::hopf;
  constexpr auto flip = ChatterKind::period_doubling;
  const struct {
    double radial_fraction;
    Milling milling;
    double rpm, depth_mm;
    ChatterKind kind;
    double hz;
  } rows[] = {{1, Milling::climb, 5000, 0.4086, hopf, 942.7},
              {1, Milling::climb, 7500, 0.3206, hopf, 933.9},
              {1, Milling::climb, 9000, 3.0092, hopf, 1019.2},
              {1, Milling::climb, 10000, 0.3224, hopf, 930.3},
              {1, Milling::climb, 12500, 2.7070, flip, 1041.7},
              {1, Milling::climb, 15000, 0.3866, hopf, 927.4},
              {1, Milling::climb, 20000, 1.4175, flip, 1000.0},
              {0.5, Milling::conventional, 5000, 0.2603, hopf, 942.1},
              {0.5, Milling::conventional, 7500, 0.2096, hopf, 933.5},
              {0.5, Milling::conventional, 10000, 0.2135, hopf, 930.0},
              {0.5, Milling::conventional, 15000, 0.2589, hopf, 927.1},
              {0.5, Milling::climb, 5000, 0.8472, hopf, 935.9},
              {0.5, Milling::climb, 7500, 1.6120, hopf, 885.8},
              {0.5, Milling::climb, 10000, 2.1047, flip, 833.3},
              {0.5, Milling::climb, 12500, 0.6570, hopf, 915.2},
              {0.5, Milling::climb, 15000, 2.5962, flip, 750.0},
              {0.1, Milling::climb, 5000, 1.2963, hopf, 935.7},
              {0.1, Milling::climb, 7500, 1.9201, flip, 875.0},
              {0.1, Milling::climb, 10000, 2.5181, flip, 833.3},
              {0.1, Milling::conventional, 7500, 0.8085, hopf, 933.8},
              {0.1, Milling::conventional, 10000, 0.8153, hopf, 930.3},
              {0.05, Milling::climb, 5000, 2.2066, hopf, 935.0},
              {0.05, Milling::climb, 7500, 2.6231, flip, 875.0},
              {0.05, Milling::climb, 10000, 4.0907, flip, 833.3},
              {0.05, Milling::conventional, 7500, 1.6642, hopf, 934.1},
              {0.05, Milling::conventional, 10000, 1.6577, hopf, 930.5}};
  for (const auto& row : rows) {
    const auto limit_with = [&row](int intervals) {
      return benchmark(row.radial_fraction, row.milling,
                       {.least_intervals = intervals, .most_intervals = intervals, .depth_tolerance = 1e-6})
          .limit(row.rpm, 5.0, row.radial_fraction <= 0.1 ? 0.2 : 0.05);
    };
    const cutting::StabilityLimit limit = limit_with(240);
    const double error_at_120 = std::abs(limit_with(120).depth_mm / row.depth_mm - 1);
    INFO("a/D " << row.radial_fraction << (row.milling == Milling::climb ? " climb " : " conventional ") << row.rpm
                << " rpm");
    REQUIRE_FALSE(limit.open);
    // Without helix and at low engagement the arc's ends fall between the steps: there convergence is less smooth.
    CHECK_THAT(limit.depth_mm, WithinRel(row.depth_mm, 8e-4));
    CHECK(error_at_120 < 3e-3);
    CHECK(limit.kind == row.kind);
    const double teeth_hz = 2 * row.rpm / 60;
    const double apart = std::remainder(limit.chatter_hz - row.hz, teeth_hz);
    const double mirrored = std::remainder(limit.chatter_hz + row.hz, teeth_hz);
    CHECK(std::min(std::abs(apart), std::abs(mirrored)) < 0.5);
  }
}

TEST_CASE("No depth, no chatter: the multiplier is the free decay over one tooth") {
  const cutting::Multiplier mu = benchmark(1, Milling::climb).multiplier(6000, 0.0);
  CHECK_THAT(std::abs(mu.value), WithinRel(std::exp(-0.011 * 2 * cutting::kPi * 922 * 60 / (6000.0 * 2)), 1e-6));
}

TEST_CASE("A pitch written out as equal angles and one revolution as the period give the equal-pitch answer") {
  cutting::CutModel model = test::benchmark_model();
  const SemiDiscretization equal(model, 5, Milling::conventional);
  model.cutter.pitch_deg = {180, 180};
  const SemiDiscretization written(model, 5, Milling::conventional);
  CHECK(std::abs(equal.multiplier(7000, 0.4, 80).value - written.multiplier(7000, 0.4, 80).value) < 1e-9);
  // A hair of inequality makes the period a revolution: the multiplier of two teeth is the square of one's.
  model.cutter.pitch_deg = {180.005, 179.995};
  const SemiDiscretization hair(model, 5, Milling::conventional);
  const double one = std::abs(equal.multiplier(7000, 0.4, 160).value);
  CHECK_THAT(std::abs(hair.multiplier(7000, 0.4, 160).value), WithinRel(one * one, 2e-3));
}

TEST_CASE("Process damping raises the limit, and more so where the spindle is slow") {
  cutting::CutModel model = test::benchmark_model();
  const auto gain_at = [&model](double rpm) {
    model.force.process_damping_n_m = 0;
    const double without = SemiDiscretization(model, 10, Milling::climb).limit(rpm, 20, 0.05).depth_mm;
    model.force.process_damping_n_m = 5e4;
    const double with = SemiDiscretization(model, 10, Milling::climb).limit(rpm, 20, 0.05).depth_mm;
    return with / without;
  };
  const double slow = gain_at(2500);
  const double fast = gain_at(10000);
  CHECK(fast > 1.005);
  CHECK(slow > fast);
}

TEST_CASE(
    "At slow speeds the limit does not hang on how many intervals are allowed, and what is not resolved is said") {
  // A stiff mode far above the other, as in config/fin-wall.toml, whose limit at 500 rev/min came out 30 % too deep.
  cutting::CutModel model = test::benchmark_model();
  model.structure.tool_y = {{4150, 0.02, 2e7}};
  const auto limit_with = [&model](cutting::SemiDiscretizationSettings settings) {
    return SemiDiscretization(model, 0.25 * model.cutter.diameter_mm, Milling::climb, settings).limit(220, 20, 0.1);
  };
  const auto plain = limit_with({});
  REQUIRE_FALSE(plain.open);
  CHECK_THAT(plain.depth_mm, WithinRel(limit_with({.least_per_wave = 24}).depth_mm, 5e-3));
  CHECK(std::abs(limit_with({.least_per_wave = 0}).depth_mm / plain.depth_mm - 1) > 0.02);  // the test can fail
  const SemiDiscretization chart(model, 1, Milling::climb);
  CHECK(chart.intervals(1.1 * chart.resolved_from_rpm()) < 6400);
  CHECK(chart.intervals(0.9 * chart.resolved_from_rpm()) == 6400);
}
