#include "rig/tip.hpp"

#include <cmath>
#include <vector>

#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;
using test::WithinRel;

TEST_CASE("A free ring-down has the entered frequency and damping at any step") {
  const cutting::Mode mode{1180, 0.022, 9.0e6};
  for (const double rate_hz : {16000.0, 96000.0, 192000.0}) {
    rig::Tip tip({.tool_x = {mode}, .tool_y = {}, .part_x = {}, .part_y = {}}, 1.0 / rate_hz);
    tip.nudge({1e-5, 0});
    // Upward crossings of zero, placed by a straight line between two samples, and the peak of each swing.
    std::vector<double> crossings_s;
    std::vector<double> peaks;
    double before = tip.position_m().x;
    double peak = 0;
    for (int i = 1; i < static_cast<int>(0.06 * rate_hz); ++i) {
      tip.begin({});
      tip.finish({});
      const double now = tip.position_m().x;
      peak = std::max(peak, std::sqrt(2.0 * tip.energy_j() / mode.stiffness_n_m));
      if (before < 0 && now >= 0) {
        crossings_s.push_back((i - now / (now - before)) / rate_hz);
        peaks.push_back(std::sqrt(2.0 * tip.energy_j() / mode.stiffness_n_m));
      }
      before = now;
    }
    const double cycles = static_cast<double>(crossings_s.size() - 1);
    const double span_s = crossings_s.back() - crossings_s.front();
    const double damped_hz = mode.natural_hz * std::sqrt(1.0 - mode.damping_ratio * mode.damping_ratio);
    CHECK_THAT(cycles / span_s, WithinRel(damped_hz, 2e-4));
    // Energy swings about its mean within a cycle, so the decrement is taken over the whole span.
    const double decay_per_s = std::log(peaks.front() / peaks.back()) / span_s;
    CHECK_THAT(decay_per_s, WithinRel(mode.damping_ratio * mode.omega(), 0.01));
  }
}

TEST_CASE("Under a constant force each axis comes to rest at the sum of force over stiffness") {
  rig::Tip tip({.tool_x = {{900, 0.03, 1.0e7}, {2600, 0.03, 4.0e7}},
                .tool_y = {{950, 0.03, 1.2e7}},
                .part_x = {},
                .part_y = {{400, 0.05, 5.0e7}}},
               1.0 / 96000);
  for (int i = 0; i < 96000; ++i) {
    tip.begin({100, -60});
    tip.finish({100, -60});
  }
  CHECK_THAT(tip.position_m().x, WithinRel(100 / 1.0e7 + 100 / 4.0e7, 1e-9));
  CHECK_THAT(tip.position_m().y, WithinRel(-60 / 1.2e7 - 60 / 5.0e7, 1e-9));
  CHECK_THAT(tip.tool_acceleration().x, WithinAbs(0, 1e-6));
}

TEST_CASE("A steady sine answers with the frequency response of the mode") {
  const cutting::Mode mode{1000, 0.02, 8.0e6};
  const double rate_hz = 96000;
  for (const double hz : {400.0, 980.0, 1000.0, 1700.0}) {
    rig::Tip tip({.tool_x = {}, .tool_y = {mode}, .part_x = {}, .part_y = {}}, 1.0 / rate_hz);
    const auto force = [&](int i) { return std::sin(2.0 * cutting::kPi * hz * i / rate_hz); };
    double most = 0;
    for (int i = 1; i < 96000; ++i) {
      tip.begin({0, force(i - 1)});
      tip.finish({0, force(i)});
      if (i > 86400) most = std::max(most, std::abs(tip.position_m().y));
    }
    const double r = hz / mode.natural_hz;
    const double expected = 1.0 / (mode.stiffness_n_m * std::hypot(1.0 - r * r, 2.0 * mode.damping_ratio * r));
    CHECK_THAT(most, WithinRel(expected, 0.005));
  }
}

TEST_CASE("Work put into the modes is stored or lost to damping, and none is made") {
  const cutting::Mode mode{800, 0.015, 6.0e6};
  const double step_s = 1.0 / 192000;
  rig::Tip tip({.tool_x = {mode}, .tool_y = {}, .part_x = {}, .part_y = {}}, step_s);
  double work = 0;
  double lost = 0;
  double force = 0;
  double place = 0;
  for (int i = 1; i < 60000; ++i) {
    const double next = 80 * std::sin(0.021 * i) + 30 * std::sin(0.0057 * i);
    tip.begin({force, 0});
    tip.finish({next, 0});
    const double moved = tip.position_m().x - place;
    const double speed = moved / step_s;
    work += 0.5 * (force + next) * moved;
    lost += mode.damping_n_s_m() * speed * speed * step_s;
    force = next;
    place = tip.position_m().x;
  }
  CHECK(work > 0);
  CHECK_THAT(tip.energy_j() + lost, WithinRel(work, 0.002));
}
