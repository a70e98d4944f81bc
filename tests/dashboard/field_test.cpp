// Fields of the cut card and the simulator: shown, checked as typed, stepped; keys and their one table.
#include <set>

#include "dashboard/action.hpp"
#include "dashboard/card_views.hpp"
#include "dashboard/field.hpp"
#include "dashboard/pending.hpp"
#include "made_state.hpp"
#include "plain.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;
using hushmill::test::plain;
using hushmill::test::WithinAbs;
using hushmill::test::WithinRel;

namespace {

live::CutCard taken(Field field, const char* typed, const live::CutCard& card = {}, Units units = Units::metric) {
  const auto result = with_entry(field, typed, card, units);
  if (const auto* bad = std::get_if<BadEntry>(&result)) FAIL(bad->text);
  return std::get<live::CutCard>(result);
}

std::string refused(Field field, const char* typed, const live::CutCard& card = {}, Units units = Units::metric) {
  const auto result = with_entry(field, typed, card, units);
  if (const auto* bad = std::get_if<BadEntry>(&result)) return bad->text;
  FAIL("'" << typed << "' was taken");
  return {};
}

}  // namespace

TEST_CASE("every field of the card goes in as typed and comes out the same") {
  CHECK(taken(Field::programmed, "5400").programmed_rpm == 5400);
  CHECK(taken(Field::programmed, "12 000").programmed_rpm == 12000);
  CHECK(taken(Field::override_percent, "112.5").override_percent == 112.5);
  CHECK(taken(Field::flutes, "6").flutes == 6);
  CHECK(taken(Field::diameter, "12.7").diameter_mm == 12.7);
  CHECK(taken(Field::depth, "0.5").depth_mm == 0.5);
  CHECK(taken(Field::width, "6").radial_mm == 6);
  CHECK(taken(Field::feed, "1440").feed_mm_min == 1440);
  CHECK(taken(Field::spindle_least, "500").min_rpm == 500);
  CHECK(taken(Field::spindle_limit, "12000").max_rpm == 12000);
  CHECK(taken(Field::tool_limit, "7200").tool_max_rpm == 7200);
  CHECK(taken(Field::knob_step, "5").knob_step_percent == 5);
  CHECK(taken(Field::damping, "0.024").damping_ratio == 0.024);
  CHECK(taken(Field::milling, "climb").milling == advise::Milling::climb);
  CHECK(taken(Field::milling, "con").milling == advise::Milling::conventional);
  live::CutCard card;
  card.diameter_mm = 10;
  CHECK_FALSE(taken(Field::diameter, "", card).diameter_mm.has_value());
  for (const Field field : card_fields()) {
    const live::CutCard made = made_state(Made::steady).card;
    CHECK(value_text(field, taken(field, editable_text(field, made, Units::metric).c_str(), made), Units::metric) ==
          value_text(field, made, Units::metric));
  }
}

TEST_CASE("what is wrong is said in one line that names the field, the value and what would be right") {
  CHECK(refused(Field::flutes, "0") == "Flutes 0 is out of range; 1 to 64 would be right");
  CHECK(refused(Field::flutes, "3.5") == "Flutes 3.5 is not whole; a whole number would be right");
  CHECK(refused(Field::flutes, "") == "Flutes is empty; 1 to 64 would be right");
  CHECK(refused(Field::programmed, "fast").find("Programmed 'fast' is not a number") == 0);
  CHECK(refused(Field::programmed, "1,200").find("without a comma") != std::string::npos);
  CHECK(plain(refused(Field::tool_limit, "99999999999999999999999")) == "Tool limit 999999999999\xE2\x80\xA6 is out of range; 1 to 200 000 rev/min would be right");
  for (const char* odd : {"1/0", "1/", "/2", "1/2/3", "a/2", "-1/2"}) CHECK(refused(Field::diameter, odd).find("Diameter") == 0);
  CHECK(refused(Field::programmed, "nan").find("Programmed") == 0);
  CHECK(refused(Field::programmed, "inf").find("Programmed") == 0);
  CHECK(refused(Field::programmed, "1e9").find("out of range") != std::string::npos);
  CHECK(refused(Field::diameter, "-3").find("Diameter -3 is out of range") == 0);
  CHECK(refused(Field::milling, "sideways") == "Milling 'sideways'; climb or conventional would be right");
  live::CutCard card;
  card.max_rpm = 8000;
  CHECK(refused(Field::spindle_least, "9000", card).find("must lie below the limit") != std::string::npos);
  card.programmed_rpm = 20;
  CHECK(refused(Field::override_percent, "10", card).find("10 to 200") != std::string::npos);
}

TEST_CASE("inches are an inch wide") {
  // 1 in = 25.4 mm exactly, by definition.
  CHECK_THAT(*taken(Field::diameter, "0.5", {}, Units::inch).diameter_mm, WithinRel(12.7, 1e-12));
  CHECK_THAT(*taken(Field::diameter, "1/2", {}, Units::inch).diameter_mm, WithinRel(12.7, 1e-12));  // as tools are sold
  CHECK_THAT(*taken(Field::diameter, "1 3/8", {}, Units::inch).diameter_mm, WithinRel(1.375 * 25.4, 1e-12));
  CHECK_THAT(*taken(Field::feed, "100", {}, Units::inch).feed_mm_min, WithinRel(2540.0, 1e-12));
  CHECK(taken(Field::programmed, "5400", {}, Units::inch).programmed_rpm == 5400);
  live::CutCard card;
  card.diameter_mm = 12.7;
  CHECK(value_text(Field::diameter, card, Units::inch) == "0.5");
  CHECK(std::string(unit_of(Field::diameter, Units::inch)) == "in");
  CHECK(std::string(unit_of(Field::programmed, Units::inch)) == "rev/min");
}

TEST_CASE("surface speed and feed per tooth follow the shop's formulas") {
  live::CutCard card;
  card.diameter_mm = 12;
  card.programmed_rpm = 6000;
  card.flutes = 4;
  card.feed_mm_min = 1440;
  // v = π·D·n/1000 and f_z = f/(N·n), written out (common practice, in every handbook).
  CHECK_THAT(*surface_speed_m_min(card), WithinRel(3.14159265358979 * 12 * 6000 / 1000, 1e-12));
  CHECK_THAT(*feed_per_tooth_mm(card), WithinRel(0.06, 1e-12));
  card.override_percent = 80;
  CHECK_THAT(*feed_per_tooth_mm(card) * chip_load_factor(card), WithinRel(1440 / (4 * 4800.0), 1e-12));
  card.diameter_mm.reset();
  CHECK_FALSE(surface_speed_m_min(card).has_value());
}

TEST_CASE("the knob steps within the limits and takes the simulated machine along") {
  live::State state = made_state(Made::steady);
  auto commands = turn_knob(state, -1);
  REQUIRE(commands.size() == 2);
  CHECK(std::get<live::ChangeCard>(commands[0]).card.override_percent == 90);
  CHECK(std::get<live::TurnRig>(commands[1]).controls.spindle_rpm == 5400);
  state.card.override_percent = 120;  // 7200, the tool's limit
  CHECK(turn_knob(state, 1).empty());
  CHECK(turn_knob(state, -1).size() == 2);
  state.card.override_percent = 150;  // already beyond: the way back is open
  CHECK(turn_knob(state, -1).size() == 2);
  CHECK(turn_knob(state, 1).empty());
  state.card.min_rpm = 5900;
  state.card.override_percent = 100;
  CHECK(turn_knob(state, -1).empty());
  state = made_state(Made::steady, 12, false);
  CHECK(turn_knob(state, -1).size() == 1);
}

TEST_CASE("turning the simulated machine carries the card along, and the card carries the machine") {
  const live::State state = made_state(Made::steady);
  rig::RigControls controls = *state.rig;
  controls.spindle_rpm = 5100;
  controls.depth_mm = 2.5;
  auto commands = turn_rig(state, controls);
  REQUIRE(commands.size() == 2);
  const live::CutCard& card = std::get<live::ChangeCard>(commands[1]).card;
  CHECK_THAT(card.entered_rpm(), WithinRel(5100.0, 1e-12));
  CHECK(card.depth_mm == 2.5);
  controls = *state.rig;
  controls.in_cut = false;
  CHECK(turn_rig(state, controls).size() == 1);

  live::CutCard typed = state.card;
  typed.programmed_rpm = 5000;
  typed.depth_mm = 1.5;
  commands = change_card(state, typed);
  REQUIRE(commands.size() == 2);
  CHECK(std::get<live::TurnRig>(commands[1]).controls.spindle_rpm == 5000);
  CHECK(std::get<live::TurnRig>(commands[1]).controls.depth_mm == 1.5);
}

TEST_CASE("bars of the simulator map there and back") {
  rig::RigControls controls;
  for (const Field field : rig_fields()) {
    for (const double share : {0.0, 0.1, 0.5, 0.93, 1.0}) {
      INFO(info(field).name << " at " << share);
      CHECK_THAT(rig_share(field, with_rig_share(field, share, controls)), WithinAbs(share, 0.02));
    }
  }
  CHECK(with_rig_share(Field::rig_depth, -1, controls).depth_mm == 0);
}

TEST_CASE("no two actions share a key, and every action of the table is reached by its key") {
  std::set<std::string> keys;
  for (const KeyLine& line : key_lines()) {
    for (const char* key : {line.key, line.other}) {
      if (!*key) continue;
      INFO(key);
      CHECK(keys.insert(key).second);
      CHECK(action_for(key) == line.action);
    }
    CHECK(std::string(line.words).size() > 3);
  }
  CHECK_FALSE(action_for("").has_value());
  CHECK_FALSE(action_for("Enter").has_value());
}

TEST_CASE("what was asked for stands on the screen until the instrument answers, and no longer") {
  live::State state = made_state(Made::steady);
  const live::State before = state;
  Pending pending;
  for (const live::Command& command : turn_knob(state, -1)) {
    pending.sent(command, 10.0);
    foresee(command, state);
  }
  CHECK(state.card.override_percent == 90);
  CHECK(state.rig->spindle_rpm == 5400);
  state = before;  // a state that was on its way already
  pending.overlay(state, 10.2);
  CHECK(state.card.override_percent == 90);
  CHECK(state.rig->spindle_rpm == 5400);
  state = before;  // the instrument refused
  pending.overlay(state, 10.6);
  CHECK(state.card.override_percent == 100);
  pending.overlay(state, 10.1);
  CHECK(state.card.override_percent == 100);
}
