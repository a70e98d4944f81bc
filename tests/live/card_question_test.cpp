#include "live/card_question.hpp"

#include <cmath>
#include <stdexcept>
#include <string>

#include "support/catch.hpp"

using namespace hushmill;
using live::CutCard;

namespace {

std::string refusal(const CutCard& card) {
  try {
    live::check_card(card);
  } catch (const std::invalid_argument& bad) {
    return bad.what();
  }
  return {};
}

}  // namespace

TEST_CASE("a question carries the whole card") {
  CutCard card;
  card.programmed_rpm = 5200;
  card.override_percent = 90;
  card.flutes = 3;
  card.diameter_mm = 10;
  card.radial_mm = 2;
  card.depth_mm = 4;
  card.milling = advise::Milling::conventional;
  card.feed_mm_min = 900;
  card.min_rpm = 100;
  card.max_rpm = 9000;
  card.tool_max_rpm = 8000;
  card.knob_step_percent = 5;
  card.damping_ratio = 0.03;
  const auto question = live::question_for(card, 1111, 4673);
  CHECK(question.chatter_hz == 1111);
  CHECK(question.spindle_rpm == 4673);
  CHECK(question.programmed_rpm == 5200);
  CHECK(question.flutes == 3);
  CHECK(question.diameter_mm == 10.0);
  CHECK(question.radial_mm == 2.0);
  CHECK(question.depth_mm == 4.0);
  CHECK(question.milling == advise::Milling::conventional);
  CHECK(question.feed_mm_min == 900.0);
  CHECK(question.min_rpm == 100.0);
  CHECK(question.max_rpm == 9000.0);
  CHECK(question.tool_max_rpm == 8000.0);
  CHECK(question.knob_step_percent == 5);
  CHECK(question.damping_ratio == 0.03);
  CHECK(refusal(card).empty());
}

TEST_CASE("a bad card is refused with the name of the field") {
  CutCard card;
  CHECK(refusal(card).empty());
  for (const double wrong : {0.0, -100.0, 501.0, std::nan("")}) {
    CutCard bad = card;
    bad.override_percent = wrong;
    CHECK(refusal(bad).find("override_percent") == 0);
  }
  CutCard flutes = card;
  flutes.flutes = 0;
  CHECK(refusal(flutes).find("flutes is 0;") == 0);
  CutCard speed = card;
  speed.programmed_rpm = 300000;
  CHECK(refusal(speed).find("rpm") != std::string::npos);
  CutCard slow = card;  // each number is fine, the speed that they make is not
  slow.programmed_rpm = 12;
  slow.override_percent = 50;
  CHECK(refusal(slow).find("spindle_rpm is 6;") == 0);
}

TEST_CASE("taps on the card reach the adviser, and the damping of the one that is near the chatter") {
  live::CutCard card;
  card.taps[0] = {1190, 0.021, false};
  card.taps[1] = {640, 0.008, true};
  card.tap_count = 2;
  const auto near_tool = live::question_for(card, 1230, 6000);
  REQUIRE(near_tool.taps.size() == 2);
  CHECK_FALSE(near_tool.taps[0].of_part);
  CHECK(near_tool.taps[1].of_part);
  CHECK(near_tool.damping_ratio == 0.021);
  CHECK_FALSE(live::question_for(card, 900, 6000).damping_ratio);  // near neither
  card.damping_ratio = 0.03;                                      // what was entered goes first
  CHECK(live::question_for(card, 1230, 6000).damping_ratio == 0.03);
}
