// What the screen must not praise, and what it must not forget: limits, doubted quiet, slips on the card.
#include <algorithm>

#include "dashboard/action.hpp"
#include "dashboard/advice_view.hpp"
#include "dashboard/ladder_view.hpp"
#include "dashboard/timeline_view.hpp"
#include "dashboard/verdict_view.hpp"
#include "made_state.hpp"
#include "plain.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;
using hushmill::test::plain;
using hushmill::test::session_of;

TEST_CASE("a speed beyond a limit is never advised") {
  live::State state = made_state(Made::chatter);
  state.advice.prefer = advise::Direction::higher;
  state.advice.higher->spindle_rpm = 7300;  // the tool's limit is 7200
  state.advice.higher->knob_percent = 120;
  state.advice.higher->width_from_rpm = 7100;
  state.advice.higher->width_to_rpm = 7350;
  const Session session = session_of({state});
  AdviceView view = prepare_advice(state, session);
  // 120 % is 7200, the limit itself: allowed. The knob's step stands in for the speed beyond.
  REQUIRE(view.first());
  CHECK(view.first()->move.target_rpm == 7200);
  state.card.tool_max_rpm = 7000;
  view = prepare_advice(state, session);
  const auto higher = std::find_if(view.lines.begin(), view.lines.end(),
                                   [](const AdviceLine& line) { return line.direction == advise::Direction::higher; });
  REQUIRE(higher != view.lines.end());
  CHECK_FALSE(higher->first);
  CHECK(plain(higher->warning).find(": do not use") != std::string::npos);
  CHECK(view.headline.find("UP") == std::string::npos);
}

TEST_CASE("a speed beyond a limit is never praised, however quiet it is") {
  live::State state = made_state(Made::steady);
  state.card.override_percent = 130;
  state.card.tool_max_rpm = 7000;
  Session session = session_of({state});
  const AdviceView advice = prepare_advice(state, session);
  CHECK(plain(advice.idle) == "7 800 is above the tool limit, 7 000: turn the speed DOWN.");
  const VerdictView verdict = prepare_verdict(state, session, advice);
  CHECK(verdict.tone == Tone::abnormal);
  CHECK(verdict.do_line == advice.idle);
  CHECK(prepare_ladder(state, advice, trial::SpeedTable{}).pointer_tone == Tone::abnormal);
  state.card.tool_max_rpm.reset();
  state.card.min_rpm = 8000;
  CHECK(plain(prepare_advice(state, session).idle) == "7 800 is below the spindle's least, 8 000: turn the speed UP.");
  state.card.min_rpm = 7800;
  CHECK(prepare_advice(state, session).beyond.empty());
}

TEST_CASE("while it chatters beyond a limit, the band says so beside the speed to turn to") {
  live::State state = made_state(Made::chatter);
  state.card.tool_max_rpm = 0.9 * state.card.entered_rpm();
  Session session = session_of({state});
  const AdviceView advice = prepare_advice(state, session);
  const VerdictView verdict = prepare_verdict(state, session, advice);
  CHECK(plain(verdict.how_line).find("is above the tool limit") != std::string::npos);
  CHECK(verdict.how_line == advice.beyond);
}

TEST_CASE("taking the simulated tool out of the cut says nothing new of the cut on the card") {
  live::State state = made_state(Made::chatter);
  state.rig = rig::RigControls{};
  state.card.depth_mm.reset();
  rig::RigControls controls = *state.rig;
  controls.in_cut = !controls.in_cut;
  CHECK(turn_rig(state, controls).size() == 1);  // the machine alone
  controls.depth_mm += 0.5;
  const auto deeper = turn_rig(state, controls);
  REQUIRE(deeper.size() == 2);
  CHECK(std::get<live::ChangeCard>(deeper[1]).card.depth_mm == controls.depth_mm);
}

TEST_CASE("a sound that fits another speed is not green, however steady") {
  live::State state = made_state(Made::steady);
  state.other_fit = listen::OtherFit{5400, state.card.flutes};
  const Session session = session_of({state});
  const AdviceView advice = prepare_advice(state, session);
  CHECK(prepare_verdict(state, session, advice).tone == Tone::abnormal);
  CHECK(plain(prepare_verdict(state, session, advice).tone_line) == "The sound fits 5 400, not 6 000.");
  CHECK(prepare_ladder(state, advice, trial::SpeedTable{}).pointer_tone == Tone::abnormal);
}

TEST_CASE("a slip on the card that is taken back brings the speeds back that were tried") {
  auto states = test::made_session(Made::chatter, 0.1);
  Session session = session_of(states);
  REQUIRE(session.tried(6000));
  live::State slip = states.back();
  slip.card.diameter_mm = 99;
  slip.snapshot.t_s += 0.1;
  session.add(slip);
  CHECK_FALSE((session.tried(6000) && session.tried(6000)->episodes > 0));
  live::State back = states.back();
  back.snapshot.t_s += 2;
  session.add(back);
  REQUIRE(session.tried(6000));
  CHECK(session.tried(6000)->episodes > 0);
  CHECK(session.chattered_rpm() == 6000);
  // Long afterwards it is another cut.
  slip.snapshot.t_s += 10;
  session.add(slip);
  back.snapshot.t_s += 60;
  session.add(back);
  CHECK_FALSE((session.tried(6000) && session.tried(6000)->episodes > 0));
}

TEST_CASE("quiet at a speed that chattered is no green on the strip, either") {
  auto states = test::made_session(Made::chatter, 0.1);
  live::State quiet = states.back();
  quiet.snapshot.verdict = listen::Verdict::steady;
  quiet.snapshot.chatter.reset();
  for (int i = 0; i < 20; ++i) {
    quiet.snapshot.t_s += 0.1;
    states.push_back(quiet);
  }
  const Session session = session_of(states);
  CHECK(prepare_verdict(quiet, session, prepare_advice(quiet, session)).tone == Tone::abnormal);
  const auto view = prepare_timeline(session, {}, 2000);
  REQUIRE_FALSE(view.runs.empty());
  CHECK(view.runs.back().verdict == listen::Verdict::steady);
  CHECK(view.runs.back().doubted);
  CHECK_FALSE(view.runs.front().doubted);
}
