#include "listen/standing_family.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "support/catch.hpp"
#include "support/made_line.hpp"

using namespace hushmill;
using listen::Comb;
using listen::StandingFamily;

namespace {

constexpr double kStandingBinHz = 4;

signal::Line standing_line(double hz, double dbfs) { return test::made_line(hz, dbfs, 30); }

/// 6000 rev/min, four flutes: teeth every 400 Hz, rotation every 100 Hz.
Comb standing_comb() { return {100, 4, 0.0003, true, true}; }

std::vector<signal::Line> standing_teeth() {
  std::vector<signal::Line> lines;
  for (int k = 1; k <= 6; ++k) lines.push_back(standing_line(400.0 * k, -20 - 3 * k));
  return lines;
}

bool sure_within(const std::vector<signal::Line>& lines, int rows) {
  StandingFamily family{{}};
  auto sorted = lines;
  std::sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.power > b.power; });
  bool sure = false;
  for (int i = 0; i < rows; ++i) sure = sure || family.process(sorted, standing_comb(), kStandingBinHz);
  return sure;
}

}  // namespace

TEST_CASE("a family that has always stood is found by its places alone") {
  auto lines = standing_teeth();
  CHECK_FALSE(sure_within(lines, 60));
  // |f_c + k·f_tooth| with f_c = 1330 Hz: 70 Hz below and above the teeth.
  for (const auto& [hz, dbfs] : {std::pair{1330.0, -15.0}, {930.0, -35.0}, {1730.0, -32.0}, {1270.0, -40.0}, {870.0, -44.0}, {2130.0, -42.0}, {1670.0, -45.0}})
    lines.push_back(standing_line(hz, dbfs));
  CHECK(sure_within(lines, 60));

  SECTION("not in its first rows") { CHECK_FALSE(sure_within(lines, 5)); }
  SECTION("not beside as much that belongs to no family") {
    for (const auto& [hz, dbfs] : {std::pair{1511.0, -14.0}, {747.0, -18.0}, {1943.0, -20.0}}) lines.push_back(standing_line(hz, dbfs));
    CHECK_FALSE(sure_within(lines, 60));
  }
  SECTION("not without teeth") {
    lines.erase(lines.begin(), lines.begin() + 6);
    CHECK_FALSE(sure_within(lines, 60));
  }
}

TEST_CASE("runout, however strong, and the harmonics of a pump are no standing family") {
  auto lines = standing_teeth();
  for (int k = 1; k <= 24; ++k)
    if (k % 4 != 0) lines.push_back(standing_line(100.0 * k, -12 - k));
  CHECK_FALSE(sure_within(lines, 60));
  lines = standing_teeth();
  for (int k = 1; k <= 12; ++k) lines.push_back(standing_line(187.0 * k, -12 - k));
  CHECK_FALSE(sure_within(lines, 60));
  // At a third of the tooth spacing they stand on a family's places.
  lines = standing_teeth();
  for (int k = 1; k <= 18; ++k)
    if (k % 3 != 0) lines.push_back(standing_line(400.0 / 3 * k, -12 - k));
  CHECK_FALSE(sure_within(lines, 60));
}

TEST_CASE("the hum of the mains beside teeth that pass near a multiple of it is no standing family") {
  // Teeth every 240 Hz, hum at odd multiples of 60 Hz: 60 Hz below and above the teeth, in order after order.
  const Comb slow{40, 6, 0.0003, true, true};
  std::vector<signal::Line> lines;
  for (int k = 1; k <= 8; ++k) lines.push_back(standing_line(240.0 * k, -30 - k));
  for (int k = 3; k <= 21; k += 2) lines.push_back(standing_line(60.012 * k, k == 13 ? -14 : -38 - k % 5));
  std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) { return a.power > b.power; });
  StandingFamily family{{}};
  for (int i = 0; i < 60; ++i) CHECK_FALSE(family.process(lines, slow, kStandingBinHz));
}
