#include "listen/speed_ramp.hpp"

#include <cmath>
#include <vector>

#include "listen/room.hpp"
#include "support/catch.hpp"

using namespace hushmill;

namespace {
constexpr double kRampBinHz = 11.7;
constexpr double kRotationHz = 100;

// RampRows whose strong lines stand at multiples of `true_rotation_hz`, seen with the comb at kRotationHz.
struct RampRows {
  std::vector<float> power = std::vector<float>(800), floor = std::vector<float>(800, 1e-6F),
                     room = std::vector<float>(800, 0.0F);

  listen::Row row(double true_rotation_hz) {
    std::fill(power.begin(), power.end(), 1e-6F);
    for (const int order : {4, 8, 12, 16, 20, 24, 28, 32, 9, 13})
      for (int d = -1; d <= 1; ++d)
        power[static_cast<std::size_t>(std::lround(order * true_rotation_hz / kRampBinHz) + d)] =
            d == 0 ? 1e-3F : 3e-4F;
    listen::Row row;
    row.row_s = 0.0107;
    row.frame_s = 0.085;
    row.bin_hz = kRampBinHz;
    row.power = power;
    row.floor = floor;
    row.background = floor;
    row.room = room;
    row.comb = {kRotationHz, 4, 1e-4, true};
    return row;
  }
};

// Where the comb is, over its start, after the lines have run to `factor` times their start within 0.4 s.
double followed(double factor, bool measured = true) {
  RampRows rows;
  listen::SpeedRamp ramp;
  double comb_hz = kRotationHz;
  const auto hear = [&](double true_hz) {
    auto row = rows.row(true_hz);
    row.comb.measured = measured;
    row.comb.rotation_hz = comb_hz;
    if (const auto moved = ramp.process(row, false)) comb_hz *= *moved;
  };
  for (int i = 0; i < 50; ++i) hear(kRotationHz);
  for (int i = 1; i <= 40; ++i) hear(kRotationHz * (1.0 + (factor - 1.0) * i / 40.0));
  for (int i = 0; i < 20; ++i) hear(kRotationHz * factor);
  return comb_hz / kRotationHz;
}
}  // namespace

TEST_CASE("a comb that moves as a whole is followed, either way, through a whole step of the override") {
  for (const double factor : {0.9, 0.95, 0.98, 1.02, 1.05, 1.1}) {
    INFO("moved by " << factor);
    CHECK(std::abs(followed(factor) / factor - 1.0) < 0.006);  // the rest is the long window's to measure
  }
}

TEST_CASE("a still comb, one that was never measured and lines that do not move together are not followed") {
  CHECK(followed(1.0) == 1.0);
  CHECK(followed(1.05, false) == 1.0);

  // A chatter family beside a still comb: every order is off by the same number of hertz, not by the same share.
  RampRows rows;
  listen::SpeedRamp ramp;
  for (int i = 0; i < 50; ++i) ramp.process(rows.row(kRotationHz), false);
  for (int i = 0; i < 10; ++i) {
    const auto row = rows.row(kRotationHz);
    for (int order = 4; order <= 32; order += 4)
      rows.power[static_cast<std::size_t>(std::lround((order * kRotationHz + 130) / kRampBinHz))] = 1e-2F;
    CHECK_FALSE(ramp.process(row, false));
  }
}

TEST_CASE("a cut that was learned as the room's sound is forgotten, the room before it is not") {
  constexpr double kRowS = 0.01;
  const std::vector<float> quiet(4, 1.0F), cut(4, 1.5F);
  const auto after_a_cut = [&](bool step_back) {
    listen::Room room(4, kRowS);
    for (int i = 0; i < 400; ++i) room.process(quiet);
    for (int i = 0; i < 100; ++i) room.process(cut);
    if (step_back) room.step_back();
    for (int i = 0; i < 150; ++i) room.process(quiet);
    CHECK(room.known());
    return room.power()[2];
  };
  REQUIRE(after_a_cut(false) > 1.1F);
  CHECK(std::abs(after_a_cut(true) - 1.0F) < 0.02F);
}

TEST_CASE("a room is taken over by frames of another length: noise goes with the width of a bin") {
  listen::Room fine(8, 0.01), coarse(4, 0.01);
  const std::vector<float> noise{1, 1, 1, 1, 5, 5, 5, 5};
  for (int i = 0; i < 200; ++i) fine.process(noise);
  coarse.take_over(fine, 2.0);
  CHECK(coarse.known());
  CHECK(std::abs(coarse.power()[1] - 2.0F) < 0.01F);
  CHECK(std::abs(coarse.power()[3] - 10.0F) < 0.05F);
}

TEST_CASE("lines that come up far louder beside the teeth, all off by the same share, are chatter and no ramp") {
  RampRows rows;
  listen::SpeedRamp ramp;
  for (int i = 0; i < 50; ++i) ramp.process(rows.row(kRotationHz), false);
  for (int i = 0; i < 10; ++i) {
    auto row = rows.row(0.985 * kRotationHz);
    for (auto& p : rows.power) p *= p > 1e-5F ? 30.0F : 1.0F;
    INFO("row " << i);
    CHECK(!ramp.process(row, false));
  }
}

TEST_CASE(
    "a comb whose lines have all gone at once is lost for half a second; one that chatter drowns or weakens is not") {
  const auto after = [](double true_hz, float weaker, float floor) {
    RampRows rows;
    listen::SpeedRamp ramp;
    for (int i = 0; i < 50; ++i) ramp.process(rows.row(kRotationHz), false);
    CHECK_FALSE(ramp.lost());
    auto row = rows.row(true_hz);
    for (float& p : rows.power) p = std::max(p * weaker, floor);
    std::fill(rows.floor.begin(), rows.floor.end(), floor);
    ramp.process(row, false);
    return ramp.lost();
  };
  CHECK(after(kRotationHz * 1.07, 1.0F, 1e-6F));  // turned too quickly to be followed
  CHECK_FALSE(after(kRotationHz, 0.02F, 1e-6F));  // 17 dB weaker and still there
  CHECK_FALSE(after(kRotationHz, 1.0F, 2e-3F));   // under something louder
  CHECK_FALSE(after(kRotationHz * 1.0001, 1.0F, 1e-6F));

  RampRows rows;
  listen::SpeedRamp ramp;
  for (int i = 0; i < 50; ++i) ramp.process(rows.row(kRotationHz), false);
  ramp.process(rows.row(kRotationHz * 1.07), false);
  for (int i = 0; i < 60; ++i) ramp.process(rows.row(kRotationHz), false);
  CHECK_FALSE(ramp.lost());  // found again
}
