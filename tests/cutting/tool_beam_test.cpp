#include "cutting/tool_beam.hpp"

#include <cmath>
#include <limits>
#include <stdexcept>

#include "cutting/semi_discretization.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinRel;

namespace {

constexpr cutting::ToolSupport kClamp{.translation_n_m = 1e18, .rotation_n_m_rad = 1e18};

cutting::ToolBeam plain_rod(double diameter_mm, double modulus_gpa, double density) {
  return {.shank_diameter_mm = diameter_mm,
          .flute_length_mm = 0,
          .fluted_share = 1,
          .youngs_modulus_gpa = modulus_gpa,
          .density_kg_m3 = density};
}

double stiffness_n_m(const cutting::ToolBeam& beam, const cutting::ToolSupport& support, double stickout_mm) {
  return cutting::tip_mode(beam, support, stickout_mm, 0.02).stiffness_n_m;
}

}  // namespace

TEST_CASE("A plain clamped rod has the stiffness 3EI/L³ and the first frequency of a clamped-free beam") {
  // (βL)² = 3.5160: W.T. Thomson, "Theory of Vibration with Applications", Appendix D.3, p. 510. The digits are
  // computed from it.
  const cutting::ToolBeam rod = plain_rod(12, 600, 14500);
  CHECK_THAT(stiffness_n_m(rod, kClamp, 40), WithinRel(2.8628e7, 1e-4));
  CHECK_THAT(stiffness_n_m(rod, kClamp, 60), WithinRel(8.4823e6, 1e-4));
  CHECK_THAT(100 / stiffness_n_m(rod, kClamp, 60), WithinRel(11.789e-6, 1e-4));
  const struct { double stickout_mm, hz; } rows[] = {{30, 11998.90}, {40, 6749.38}, {48, 4687.07}, {60, 2999.72}};
  for (const auto& row : rows) {
    CHECK_THAT(cutting::tip_mode(rod, kClamp, row.stickout_mm, 0.02).natural_hz, WithinRel(row.hz, 2e-4));
  }
  // A length twice as long: an eighth of the stiffness, a quarter of the frequency (derived).
  CHECK_THAT(stiffness_n_m(rod, kClamp, 80), WithinRel(2.8628e7 / 8, 1e-4));
}

TEST_CASE("Holder and spindle add their compliance in series") {
  const cutting::ToolBeam rod = plain_rod(12, 600, 14500);
  const cutting::ToolSupport support{.translation_n_m = 6e7, .rotation_n_m_rad = 2e5};
  const double length = 0.05;
  const double rod_n_m = stiffness_n_m(rod, kClamp, 50);
  CHECK_THAT(1.0 / stiffness_n_m(rod, support, 50),
             WithinRel(1.0 / rod_n_m + 1.0 / 6e7 + length * length / 2e5, 1e-9));
  CHECK(cutting::tip_mode(rod, support, 50, 0.02).natural_hz < cutting::tip_mode(rod, kClamp, 50, 0.02).natural_hz);
}

TEST_CASE("A fluted end bends more than a plain one, and least if the flutes are short") {
  cutting::ToolBeam tool = plain_rod(12, 600, 14500);
  tool.fluted_share = 0.8;
  const double plain = stiffness_n_m(tool, kClamp, 50);
  tool.flute_length_mm = 20;
  const double some = stiffness_n_m(tool, kClamp, 50);
  tool.flute_length_mm = 50;
  const double all = stiffness_n_m(tool, kClamp, 50);
  CHECK(plain > some);
  CHECK(some > all);
  CHECK_THAT(all, WithinRel(plain * std::pow(0.8, 4), 1e-4));
}

TEST_CASE("A shorter stick-out raises the depth limit at every speed of its own lobes") {
  const cutting::Mode measured{1180, 0.022, 9.0e6};
  const cutting::HeldTool long_tool{.beam = {}, .support = {}, .stickout_mm = 48};
  const cutting::HeldTool short_tool{.beam = {}, .support = {}, .stickout_mm = 36};
  const cutting::Mode shorter = cutting::held_otherwise(measured, long_tool, short_tool);
  CHECK(shorter.natural_hz > measured.natural_hz);
  CHECK(shorter.stiffness_n_m > measured.stiffness_n_m);
  const cutting::Mode same = cutting::held_otherwise(measured, long_tool, long_tool);
  CHECK_THAT(same.natural_hz, WithinRel(1180, 1e-12));
  const auto limit_mm = [](const cutting::Mode& mode, double rpm) {
    cutting::CutModel model;
    model.structure = {.tool_x = {mode}, .tool_y = {mode}, .part_x = {}, .part_y = {}};
    return cutting::SemiDiscretization(model, 6, cutting::Milling::climb).limit(rpm, 40, 0.1).depth_mm;
  };
  // The same place in the lobe, that is the same waves per tooth, at each stick-out.
  CHECK(limit_mm(shorter, 6800 * shorter.natural_hz / measured.natural_hz) > 1.2 * limit_mm(measured, 6800));
}

TEST_CASE("A tool that sings by itself moves as beam theory says, one on a heavy holder keeps its mass") {
  const cutting::HeldTool at_60{.beam = plain_rod(12, 600, 14500), .support = kClamp, .stickout_mm = 60};
  cutting::HeldTool at_30 = at_60;
  at_30.stickout_mm = 30;
  // Derived: half the length, eight times the stiffness, half the mass, four times the frequency.
  const cutting::Mode own = cutting::tip_mode(at_60.beam, at_60.support, 60, 0.02);
  const cutting::Mode own_short = cutting::held_otherwise(own, at_60, at_30);
  CHECK_THAT(own_short.stiffness_n_m, WithinRel(8 * own.stiffness_n_m, 1e-4));
  CHECK_THAT(own_short.natural_hz, WithinRel(4 * own.natural_hz, 1e-4));
  // The same rod on a kilogram of holder: eight times the stiffness, all but the same mass.
  cutting::Mode heavy = own;
  heavy.natural_hz = std::sqrt(own.stiffness_n_m / 1.0) / (2 * cutting::kPi);
  const cutting::Mode heavy_short = cutting::held_otherwise(heavy, at_60, at_30);
  CHECK_THAT(heavy_short.stiffness_n_m, WithinRel(8 * own.stiffness_n_m, 1e-4));
  CHECK_THAT(heavy_short.natural_hz, WithinRel(std::sqrt(8.0) * heavy.natural_hz, 0.01));
  // Longer is never stiffer and never sings higher, whatever was measured.
  for (const cutting::Mode& measured : {cutting::Mode{1180, 0.022, 9.0e6}, cutting::Mode{4200, 0.02, 8.0e6}}) {
    cutting::Mode last{1e9, 0.02, 1e15};
    for (double stickout_mm = 26; stickout_mm <= 90; stickout_mm += 4) {
      const cutting::HeldTool known{.beam = {}, .support = {}, .stickout_mm = 48};
      const cutting::HeldTool next{.beam = {}, .support = {}, .stickout_mm = stickout_mm};
      const cutting::Mode mode = cutting::held_otherwise(measured, known, next);
      CHECK(mode.natural_hz < last.natural_hz);
      CHECK(mode.stiffness_n_m < last.stiffness_n_m);
      last = mode;
    }
  }
}

TEST_CASE("A better hold stiffens the part's mode") {
  const cutting::Mode part{640, 0.035, 4.5e6};
  const cutting::Mode propped = cutting::with_support(part, 3 * 4.5e6);
  CHECK_THAT(propped.natural_hz, WithinRel(1280, 1e-12));
  CHECK_THAT(propped.stiffness_n_m, WithinRel(1.8e7, 1e-12));
  const cutting::Mode lower = cutting::at_overhang(part, 30, 15);
  CHECK_THAT(lower.natural_hz, WithinRel(2560, 1e-12));
  CHECK_THAT(lower.stiffness_n_m, WithinRel(3.6e7, 1e-12));
}

TEST_CASE("A beam without length is refused") {
  CHECK_THROWS_WITH(stiffness_n_m({}, {}, 0), "stickout_mm is 0; more than 0 would be right");
  CHECK_THROWS_AS(stiffness_n_m({}, {}, std::numeric_limits<double>::quiet_NaN()), std::invalid_argument);
}
