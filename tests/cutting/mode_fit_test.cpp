#include "cutting/mode_fit.hpp"

#include <cmath>
#include <random>
#include <stdexcept>
#include <string>

#include "cutting/frequency_response.hpp"
#include "cutting/semi_discretization.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;
using test::WithinRel;

namespace {

std::vector<cutting::ResponsePoint> measured(const std::vector<cutting::Mode>& modes, double residual_m_n,
                                             double noise_m_n) {
  std::mt19937_64 random(7);
  const auto noise =
      [&] {  // even, ±√3 of the standard deviation; the library's own distributions differ between compilers
        return noise_m_n * 1.7320508 * (static_cast<double>(random() >> 11) * 0x1.0p-52 - 1.0);
      };
  std::vector<cutting::ResponsePoint> points;
  for (double hz = 200; hz <= 4000; hz += 4) {
    points.push_back({hz, cutting::response_m_n(modes, hz) + residual_m_n + std::complex<double>(noise(), noise())});
  }
  return points;
}

}  // namespace

TEST_CASE("Modes are found again in the response they make") {
  const std::vector<cutting::Mode> modes{
      {640, 0.035, 4.5e7}, {1180, 0.022, 9.0e6}, {1310, 0.018, 2.2e7}, {2650, 0.030, 3.2e7}};
  const cutting::ModeFit fit = cutting::fit_modes(measured(modes, 6e-9, 0));
  REQUIRE(fit.modes.size() == 4);
  CHECK(fit.misfit < 1e-5);
  CHECK_THAT(fit.residual_m_n, WithinRel(6e-9, 1e-3));
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK_THAT(fit.modes[i].natural_hz, WithinRel(modes[i].natural_hz, 1e-5));
    CHECK_THAT(fit.modes[i].damping_ratio, WithinRel(modes[i].damping_ratio, 1e-3));
    CHECK_THAT(fit.modes[i].stiffness_n_m, WithinRel(modes[i].stiffness_n_m, 1e-3));
  }
}

TEST_CASE("Noise of 3 percent of the peak moves the fit by little") {
  const std::vector<cutting::Mode> modes{{880, 0.03, 1.4e7}, {1650, 0.02, 1.8e7}};
  const double peak = 1.0 / (2 * 0.03 * 1.4e7);
  const cutting::ModeFit fit =
      cutting::fit_modes(measured(modes, 4e-9, 0.03 * peak), {.most_modes = 2, .least_share = 0.2});
  REQUIRE(fit.modes.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK_THAT(fit.modes[i].natural_hz, WithinRel(modes[i].natural_hz, 0.002));
    CHECK_THAT(fit.modes[i].damping_ratio, WithinRel(modes[i].damping_ratio, 0.05));
    CHECK_THAT(fit.modes[i].stiffness_n_m, WithinRel(modes[i].stiffness_n_m, 0.05));
  }
}

TEST_CASE("A response without a peak, too short, or not a number is refused") {
  CHECK_THROWS_AS(cutting::fit_modes({}), std::invalid_argument);
  std::vector<cutting::ResponsePoint> flat;
  for (int i = 1; i < 100; ++i) flat.push_back({10.0 * i, {1e-8, 1e-10}});
  CHECK_THROWS_AS(cutting::fit_modes(flat), std::invalid_argument);
  std::vector<cutting::ResponsePoint> broken = measured({{880, 0.03, 1.4e7}}, 0, 0);
  broken[20].hz = broken[19].hz;
  CHECK_THROWS_WITH(cutting::fit_modes(broken),
                    test::Contains("point 21 of the frequency response is 276 Hz"));
}

TEST_CASE("A tap and one known limit give the stiffness") {
  cutting::CutModel truth;
  truth.structure = {.tool_x = {{1180, 0.022, 9.0e6}}, .tool_y = {{1240, 0.024, 9.6e6}}, .part_x = {}, .part_y = {}};
  const double known_mm = cutting::SemiDiscretization(truth, 6, cutting::Milling::climb).limit(6800, 20, 0.05).depth_mm;
  cutting::CutModel tapped = truth;  // right frequencies, damping and ratio of stiffness, wrong scale
  tapped.structure.tool_x[0].stiffness_n_m = 1.0e6;
  tapped.structure.tool_y[0].stiffness_n_m = 1.0e6 * 9.6 / 9.0;
  const cutting::CutModel found = cutting::scaled_to_known_depth(tapped, 6, cutting::Milling::climb, 6800, known_mm);
  CHECK_THAT(found.structure.tool_x[0].stiffness_n_m, WithinRel(9.0e6, 0.005));
  CHECK_THAT(found.structure.tool_y[0].stiffness_n_m, WithinRel(9.6e6, 0.005));
}

TEST_CASE("A known limit at a speed that would be reckoned for minutes is refused") {
  cutting::CutModel slow;
  slow.structure = {.tool_x = {{20000, 0.02, 1e7}}, .tool_y = {}, .part_x = {}, .part_y = {}};
  slow.cutter.flutes = 3;
  CHECK_THROWS_WITH(cutting::scaled_to_known_depth(slow, 2, cutting::Milling::climb, 10, 1.4), test::Contains("4000 rev/min or more would be right"));
}
