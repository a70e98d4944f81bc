#include "trial/level_sums.hpp"

#include <cmath>
#include <numbers>

#include "signal/decibel.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {

constexpr double kSumsBinHz = 12;
constexpr double kToothHz = 400;

struct Line {
  double hz, dbfs;
};

/// Power of a Hann window beside its middle, as a share (derived from the window's transform).
double hann(double bins) {
  if (std::abs(bins) < 1e-9) return 1;
  if (std::abs(std::abs(bins) - 1) < 1e-9) return 0.25;
  const double x = std::sin(std::numbers::pi * bins) / (std::numbers::pi * bins * (1 - bins * bins));
  return x * x;
}

std::vector<float> spectrum_of(const std::vector<Line>& lines, double floor_db = -90) {
  std::vector<double> power(800, signal::power_from_db(floor_db));
  for (const Line& line : lines)
    for (std::size_t k = 0; k < power.size(); ++k)
      if (const double off = static_cast<double>(k) - line.hz / kSumsBinHz; std::abs(off) < 3) power[k] += signal::power_from_db(line.dbfs) * hann(off);
  std::vector<float> dbfs(power.size());
  for (std::size_t k = 0; k < power.size(); ++k) dbfs[k] = static_cast<float>(signal::power_db(power[k]));
  return dbfs;
}

trial::LevelSums sums_of(const std::vector<float>& spectrum, double total_dbfs = -20) {
  trial::LevelSums sums;
  for (int i = 0; i < 10; ++i) sums.add(spectrum, kSumsBinHz, total_dbfs, 0.03);
  return sums;
}

const std::vector<Line> kTeeth{{400, -30}, {800, -32}, {1200, -20}, {1600, -34}, {2000, -36}};

std::vector<Line> with(std::vector<Line> lines, const std::vector<Line>& more) {
  lines.insert(lines.end(), more.begin(), more.end());
  return lines;
}

}  // namespace

TEST_CASE("the tone and its family are read where they stand, and the teeth are none of it") {
  const auto levels = sums_of(spectrum_of(with(kTeeth, {{1290, -15}, {890, -25}, {1110, -30}, {1690, -22}}))).levels(1295, kToothHz, {});
  REQUIRE(levels);
  CHECK_THAT(levels->tone_hz, WithinAbs(1290, 2));
  CHECK_THAT(levels->tone_dbfs, WithinAbs(-15, 0.3));
  const double family = signal::power_from_db(-15) + signal::power_from_db(-25) + signal::power_from_db(-30) + signal::power_from_db(-22);
  CHECK_THAT(levels->family_dbfs, WithinAbs(signal::power_db(family), 1.0));
  CHECK_THAT(levels->total_dbfs, WithinAbs(-20, 1e-9));
  double teeth = 0;
  for (const Line& line : kTeeth) teeth += signal::power_from_db(line.dbfs);
  CHECK_THAT(levels->share, WithinAbs(family / (family + teeth), 0.03));
  CHECK_THAT(levels->over_s, WithinAbs(0.3, 1e-9));
}

TEST_CASE("a tooth multiple that took the tone's place is not taken for the tone") {
  // The cure puts the third tooth multiple where it sang; what is left off the teeth is small.
  const auto levels = sums_of(spectrum_of(with(kTeeth, {{1290, -62}}))).levels(1205, kToothHz, {});
  REQUIRE(levels);
  CHECK_THAT(levels->tone_hz, WithinAbs(1290, 3));
  CHECK_THAT(levels->tone_dbfs, WithinAbs(-62, 0.5));
  CHECK(levels->share < 0.01);
}

TEST_CASE("without any line the level is that of the noise, not of a tooth's skirt") {
  const auto levels = sums_of(spectrum_of(kTeeth)).levels(1205, kToothHz, {});
  REQUIRE(levels);
  CHECK(levels->tone_dbfs < -80);
  CHECK(levels->share < 0.01);
}

TEST_CASE("the room's own energy is no part of the whole that the share is of") {
  const auto room = spectrum_of({{5000, -10}});
  const auto levels = sums_of(spectrum_of({{1290, -15}, {400, -30}, {5000, -10}})).levels(1290, kToothHz, room);
  REQUIRE(levels);
  CHECK(levels->share > 0.9);
}

TEST_CASE("too little, no tone, or teeth that stand too close tell nothing") {
  trial::LevelSums sums;
  CHECK_FALSE(sums.levels(1200, kToothHz, {}));
  sums.add(spectrum_of(kTeeth), kSumsBinHz, -20, 0.03);
  CHECK_FALSE(sums.levels(1200, kToothHz, {}));
  const auto enough = sums_of(spectrum_of(kTeeth));
  CHECK(enough.levels(1200, kToothHz, {}));
  CHECK_FALSE(enough.levels(0, kToothHz, {}));
  CHECK_FALSE(enough.levels(std::nan(""), kToothHz, {}));
  CHECK_FALSE(enough.levels(50000, kToothHz, {}));
  CHECK_FALSE(enough.levels(1200, 60, {}));
}
