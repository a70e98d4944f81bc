#include "listen/speed_doubt.hpp"

#include <cmath>

#include "listen/listener.hpp"
#include "support/additive_shop.hpp"
#include "support/catch.hpp"

using namespace hushmill;

namespace {
constexpr double kDoubtBinHz = 3.0;
constexpr double kTrueRpm = 6798;
constexpr int kTrueFlutes = 4;

void add(std::vector<signal::Line>& lines, double hz, double over, test::Chance& chance) {
  if (hz > 60 && hz < 6500) lines.push_back({hz + 0.05 * kDoubtBinHz * chance.normal(), 1e-3, 0, over});
}

// Teeth, a few weak runout lines, three strays; a chatter family at ±`chatter_hz` when that is above zero.
std::vector<signal::Line> cut_lines(double chatter_hz, test::Chance& chance) {
  std::vector<signal::Line> lines;
  const double rotation_hz = kTrueRpm / 60;
  for (int k = 1; k <= 14; ++k) add(lines, k * rotation_hz * kTrueFlutes, 100, chance);
  for (const int k : {1, 3, 9, 13}) add(lines, k * rotation_hz, 20, chance);
  for (int i = 0; i < 3; ++i) add(lines, chance.uniform(100, 6000), 20, chance);
  if (chatter_hz > 0)
    for (int k = -6; k <= 8; ++k) add(lines, std::abs(chatter_hz + k * rotation_hz * kTrueFlutes), 60, chance);
  return lines;
}

listen::SpeedDoubt after_rows(double entered_rpm, int flutes, const listen::Comb& comb, int rows, double chatter_hz = 0,
                              bool singing = false) {
  listen::SpeedDoubt doubt(2400);
  doubt.expect(entered_rpm, flutes);
  test::Chance chance(7);
  for (int row = 0; row < rows; ++row) doubt.process(cut_lines(chatter_hz, chance), kDoubtBinHz, comb, singing);
  return doubt;
}

listen::Comb unmeasured(double rpm, int flutes) { return {rpm / 60, flutes, 0.01, false}; }
listen::Comb measured(int flutes) { return {kTrueRpm / 60, flutes, 0.0001, true}; }
}  // namespace

TEST_CASE("a speed entered one or two override steps wrong is named with the speed that fits") {
  for (const double percent : {80.0, 90.0, 110.0, 120.0}) {
    const double entered = 6800 * percent / 100;
    const auto doubt = after_rows(entered, kTrueFlutes, unmeasured(entered, kTrueFlutes), 20);
    INFO("entered at " << percent << " percent");
    REQUIRE(doubt.other());
    CHECK(doubt.other()->flutes == kTrueFlutes);
    CHECK(std::abs(doubt.other()->spindle_rpm / kTrueRpm - 1) < 0.002);
  }
}

TEST_CASE("a wrong flute count is named even where its comb happens to be found") {
  for (const int flutes : {2, 3, 5, 6}) {
    const auto doubt = after_rows(6800, flutes, measured(flutes), 20);
    INFO("entered flutes " << flutes);
    REQUIRE(doubt.other());
    CHECK(doubt.other()->flutes == kTrueFlutes);
  }
}

TEST_CASE("the right speed and flute count are not doubted, in a steady cut or while it chatters") {
  CHECK_FALSE(after_rows(6800, kTrueFlutes, measured(kTrueFlutes), 60).other());
  CHECK_FALSE(after_rows(6800, kTrueFlutes, unmeasured(6800, kTrueFlutes), 60).other());
  CHECK_FALSE(after_rows(6800, kTrueFlutes, measured(kTrueFlutes), 60, 1205, true).other());
  // Period doubling fills the places of twice as many teeth: no doubt of the flutes while it sings.
  CHECK_FALSE(after_rows(6800, kTrueFlutes, measured(kTrueFlutes), 60, 2.5 * kTrueRpm / 60 * kTrueFlutes, true).other());
}

TEST_CASE("one look is not enough for a claim, but for waiting with an alarm") {
  const auto doubt = after_rows(6120, kTrueFlutes, unmeasured(6120, kTrueFlutes), 3);
  CHECK_FALSE(doubt.other());
  CHECK(doubt.suspicious());
  CHECK_FALSE(after_rows(6800, kTrueFlutes, measured(kTrueFlutes), 3).suspicious());
}

TEST_CASE("a listener told a speed a step too low says so, hears the true speed and raises no false alarm") {
  for (const std::uint64_t seed : {31U, 33U, 35U}) {
    test::ShopSettings settings;
    settings.seed = seed;
    settings.cut_over_room_db = 18;
    const auto shop = test::make_shop_sound(settings);
    listen::Listener listener({shop.sample_rate_hz, 0.9 * shop.entered_rpm, shop.flutes});
    listener.process(shop.samples);
    listener.finish();
    const auto& heard = listener.findings();
    INFO("seed " << seed);
    REQUIRE(heard.other_fit);
    CHECK(std::abs(heard.other_fit->flutes * heard.other_fit->spindle_rpm / (shop.flutes * shop.true_rpm) - 1) < 0.003);
    CHECK(heard.episodes.empty());
    CHECK(heard.stretches.front().entered_rpm == 0.9 * shop.entered_rpm);
  }
}

TEST_CASE("period doubling on a comb that was found right is no other flute count, and a knob turned while it sings is named") {
  listen::SpeedDoubt doubt(2400);
  doubt.expect(6800, kTrueFlutes);
  test::Chance chance(11);
  for (int row = 0; row < 20; ++row) doubt.process(cut_lines(0, chance), kDoubtBinHz, measured(kTrueFlutes), false);
  REQUIRE(doubt.trusted());
  const double tooth_hz = kTrueRpm / 60 * kTrueFlutes;
  for (int row = 0; row < 30; ++row) {
    auto lines = cut_lines(0, chance);
    for (int k = 0; k < 13; ++k) add(lines, (k + 0.5) * tooth_hz, 300, chance);
    doubt.process(lines, kDoubtBinHz, measured(kTrueFlutes), false);
    REQUIRE(!doubt.other());
    REQUIRE(!doubt.suspicious());
  }
  // The knob goes a step up while chatter sings: the comb is gone, and another stands ten percent higher.
  for (int row = 0; row < 60; ++row) {
    std::vector<signal::Line> lines;
    for (int k = 1; k <= 12; ++k) add(lines, 1.1 * k * tooth_hz, 100, chance);
    for (int k = -2; k <= 2; ++k) add(lines, 1205 + 1.1 * k * tooth_hz, 300, chance);
    doubt.process(lines, kDoubtBinHz, measured(kTrueFlutes), true);
  }
  REQUIRE(doubt.other());
  CHECK(doubt.other()->flutes == kTrueFlutes);
  CHECK(std::abs(doubt.other()->spindle_rpm / (1.1 * kTrueRpm) - 1) < 0.002);
}
