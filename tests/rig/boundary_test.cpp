// The simulated machine and the linear theory are separate programs; at the edge of chatter they must agree.
#include <cmath>
#include <utility>
#include <vector>

#include "benchmark_cut.hpp"
#include "cutting/semi_discretization.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using cutting::Milling;

namespace {

constexpr double kInnerRateHz = 96000;  // the rig's own at 48 kHz

struct Cut {
  double radial_fraction;
  Milling milling;
};

cutting::CutModel two_directions(std::vector<double> pitch_deg) {
  return {
      .cutter = {.flutes = 4, .diameter_mm = 12, .helix_deg = 35, .pitch_deg = std::move(pitch_deg), .runout_um = {}},
      .force = {.tangential_n_mm2 = 700,
                .radial_n_mm2 = 210,
                .tangential_edge_n_mm = 12,
                .radial_edge_n_mm = 10,
                .process_damping_n_m = 2e4},
      .structure = {.tool_x = {{1180, 0.022, 9.0e6}, {2650, 0.030, 3.2e7}},
                    .tool_y = {{1240, 0.024, 9.6e6}},
                    .part_x = {},
                    .part_y = {{640, 0.035, 4.5e7}}}};
}

/// Just below the limit a small disturbance dies out in the simulated machine, just above it grows. Speeds come from a
/// grid; those near a cusp, where the limit itself moves by more than 10 % for 1 % of speed, are left out by that rule
/// alone. Gives back how many were tested.
int check_boundary(const cutting::CutModel& model, const std::vector<Cut>& cuts, double allowed, double from_rpm,
                   double to_rpm, double ratio) {
  int tested = 0;
  for (const Cut& cut : cuts) {
    const cutting::SemiDiscretization chart(model, cut.radial_fraction * model.cutter.diameter_mm, cut.milling);
    const auto limit_at = [&](double rpm) { return chart.limit(rpm, 8, 0.05).depth_mm; };
    for (double rpm = from_rpm; rpm <= to_rpm; rpm *= ratio) {
      const double limit_mm = limit_at(rpm);
      if (limit_mm >= 8 || std::abs(limit_at(rpm * 1.01) / limit_mm - 1.0) > 0.1 ||
          std::abs(limit_at(rpm * 0.99) / limit_mm - 1.0) > 0.1) {
        continue;
      }
      ++tested;
      INFO(rpm << " rpm, a/D " << cut.radial_fraction << (cut.milling == Milling::climb ? " climb" : " conventional")
               << ", limit " << limit_mm << " mm");
      const auto at = [&](double depth_mm) {
        return test::growth(test::bare_cut(model, rpm, cut.radial_fraction, cut.milling, depth_mm), kInnerRateHz);
      };
      const test::Growth below = at(limit_mm * (1.0 - allowed));
      const test::Growth above = at(limit_mm * (1.0 + allowed));
      CHECK(below.per_tooth < 1.0);
      CHECK((above.per_tooth > 1.0 || above.lifted));
    }
  }
  return tested;
}

constexpr auto kClimb = Milling::climb;
constexpr auto kConventional = Milling::conventional;

}  // namespace

TEST_CASE("One mode: the simulated machine's limit is that of semi-discretization within 3 percent", "[counts]") {
  const int tested = check_boundary(
      test::benchmark_model(),
      {{1, kClimb}, {0.5, kClimb}, {0.5, kConventional}, {0.1, kClimb}, {0.1, kConventional}, {0.05, kClimb}}, 0.03,
      4700, 21000, 1.17);
  CHECK(tested >= 25);
}

// Wider here for a reason: at the limit the forced vibration of these set-ups already lifts the teeth where the chip is
// thinnest, at the ends of the arc. The linear theory knows nothing of that. Measured: most often the machine is the
// more stable for it; at 4400 rpm, half climb, a knock stops shrinking 5 to 6 % below the limit and never grows far.
TEST_CASE("Modes of tool and part, helix, process damping: agreement within 7 percent", "[counts]") {
  const int tested =
      check_boundary(two_directions({}), {{1, kClimb}, {0.5, kClimb}, {0.5, kConventional}, {0.25, kConventional}},
                     0.07, 4400, 9000, 1.19);
  CHECK(tested >= 8);
}

TEST_CASE("Unequal pitch: agreement within 6 percent", "[counts]") {
  CHECK(check_boundary(two_directions({80, 100, 80, 100}), {{1, kClimb}, {0.5, kConventional}}, 0.06, 4400, 9000,
                       1.3) >= 2);
  CHECK(check_boundary(two_directions({75, 85, 95, 105}), {{1, kClimb}, {0.5, kConventional}}, 0.06, 4400, 9000, 1.3) >=
        2);
}
