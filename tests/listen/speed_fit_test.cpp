#include "listen/speed_fit.hpp"

#include <algorithm>
#include <cmath>

#include "support/additive_shop.hpp"
#include "support/catch.hpp"

using namespace hushmill;

namespace {
constexpr double kBinHz = 4.3;

// Lines of a cut at `true_rpm`, each off by a twentieth of a bin, with lines that belong to nothing among them.
std::vector<signal::Line> cut_lines(double true_rpm, int flutes, test::Chance& chance, int strays) {
  std::vector<signal::Line> lines;
  const double rotation_hz = true_rpm / 60;
  for (int k = 1; k * rotation_hz * flutes < 6000; ++k)
    lines.push_back({k * rotation_hz * flutes + 0.05 * kBinHz * chance.normal(), 1e-3, 0, 100});
  for (int i = 0; i < strays; ++i) lines.push_back({chance.uniform(100, 6000), 1e-3, 0, 30});
  return lines;
}

listen::SpeedFit fitted(double entered_rpm, double true_rpm, int flutes, int strays) {
  listen::SpeedFit fit;
  fit.expect(entered_rpm, flutes);
  test::Chance chance(3);
  for (int row = 0; row < 12; ++row) fit.process(cut_lines(true_rpm, flutes, chance, strays), kBinHz, false);
  return fit;
}
}  // namespace

TEST_CASE("the speed is found within 0.05 percent up to 2 percent off the entered one") {
  for (const double off : {-0.02, -0.017, -0.005, 0.0, 0.004, 0.02}) {
    const double truth = 6000 * (1 + off);
    const auto fit = fitted(6000, truth, 4, 5);
    INFO("off by " << off);
    REQUIRE(fit.measured());
    CHECK(std::abs(fit.spindle_rpm() / truth - 1) < 0.0005);
    CHECK(std::abs(*fit.mean_rpm() / truth - 1) < 0.0005);
    CHECK(fit.relative_uncertainty() < 0.002);
  }
}

TEST_CASE("lines that belong to no comb give no speed, and the entered one is not called measured") {
  listen::SpeedFit fit;
  fit.expect(6000, 4);
  test::Chance chance(5);
  for (int row = 0; row < 40; ++row) {
    std::vector<signal::Line> lines;
    for (int i = 0; i < 15; ++i) lines.push_back({chance.uniform(100, 6000), 1e-3, 0, 30});
    fit.process(lines, kBinHz, false);
  }
  CHECK_FALSE(fit.measured());
  CHECK_FALSE(fit.mean_rpm().has_value());
  CHECK(fit.spindle_rpm() == 6000);
}

TEST_CASE("a newly entered speed starts the fit over") {
  auto fit = fitted(6000, 6030, 4, 0);
  REQUIRE(fit.measured());
  fit.expect(5400, 4);
  CHECK_FALSE(fit.measured());
  CHECK_FALSE(fit.mean_rpm().has_value());
}
