#include "listen/faint_teeth.hpp"

#include <cmath>
#include <vector>

#include "support/catch.hpp"
#include "support/chance.hpp"

using namespace hushmill;

namespace {
constexpr double kFaintBinHz = 10;
constexpr std::size_t kBins = 900;
constexpr double kToothHz = 400;

// How many of 60 rows (0.6 s) say that teeth stand: noise with an exponential spread of power, and lines of `over` times the mean of it
// at every multiple of `spacing_hz`, from `shift` spacings on.
int rows_with_teeth(double over, double spacing_hz, double shift, std::uint64_t seed) {
  test::Chance chance(seed);
  listen::FaintTeeth teeth;
  const std::vector<float> floor(kBins, 1e-6F);
  const std::vector<float> room(kBins, 1e-6F);
  std::vector<float> power(kBins);
  listen::Row row;
  row.row_s = 0.01;
  row.frame_s = 0.1;
  row.bin_hz = kFaintBinHz;
  row.power = power;
  row.floor = floor;
  row.background = floor;
  row.room = room;
  row.room_known = true;
  row.comb = {kToothHz / 4, 4, 0.01, false, false};
  int found = 0;
  for (int n = 0; n < 60; ++n) {
    for (auto& p : power) p = static_cast<float>(-1e-6 * std::log(1.0 - chance.uniform()));
    for (int k = 1; (k + shift) * spacing_hz < 8000; ++k)
      power[static_cast<std::size_t>(std::lround((k + shift) * spacing_hz / kFaintBinHz))] += static_cast<float>(over * 1e-6 * -std::log(1.0 - chance.uniform()));
    row.t_s += row.row_s;
    found += teeth.process(row) ? 1 : 0;
  }
  return found;
}
}  // namespace

TEST_CASE("teeth that no single row shows stand in the mean of half a second") {
  for (const std::uint64_t seed : {1U, 2U, 3U}) {
    INFO("seed " << seed);
    CHECK(rows_with_teeth(5, kToothHz, 0, seed) >= 15);
    CHECK(rows_with_teeth(5, 1.012 * kToothHz, 0, seed) >= 15);
  }
}

TEST_CASE("noise, lines midway and lines of another spacing are no teeth") {
  for (const std::uint64_t seed : {1U, 2U, 3U}) {
    INFO("seed " << seed);
    CHECK(rows_with_teeth(0, kToothHz, 0, seed) == 0);
    CHECK(rows_with_teeth(5, kToothHz, 0.5, seed) == 0);
    CHECK(rows_with_teeth(5, 290, 0, seed) == 0);
  }
}
