#include "trial/judge.hpp"

#include "support/catch.hpp"
#include "trial/heard.hpp"

using namespace hushmill;
using test::after_change;
using test::chatter;
using test::from_the_start;
using test::WithinAbs;
using trial::Outcome;

namespace {

listen::Findings heard(std::vector<listen::Cut> cuts, std::vector<listen::Episode> episodes) {
  listen::Findings findings;
  findings.cuts = std::move(cuts);
  findings.episodes = std::move(episodes);
  return findings;
}

trial::Trial judged(const trial::Stretch& stretch, const listen::Findings& findings, double hold_s = 3) {
  trial::Rules rules;
  rules.hold_s = hold_s;
  return trial::judge(stretch, findings, rules);
}

}  // namespace

TEST_CASE("a speed holds after enough quiet cut, and air is no cut") {
  // 2 s, four seconds of air, 2 s: together 4 s of cut, less the second of settling.
  const auto findings = heard({{10, 12}, {16, 18}}, {});
  const auto trial = judged(after_change(10, 20), findings);
  CHECK(trial.outcome == Outcome::held);
  CHECK_THAT(trial.quiet_s, WithinAbs(3.0, 1e-9));
  CHECK_THAT(trial.cut_s, WithinAbs(3.0, 1e-9));
  CHECK(judged(after_change(10, 20), findings, 3.1).outcome == Outcome::not_enough);
  CHECK(judged(after_change(11, 20), findings).outcome == Outcome::not_enough);
  CHECK(judged(after_change(13, 15), findings).quiet_s == 0);
}

TEST_CASE("the first trial follows no change, so nothing of it is settling") {
  const auto findings = heard({{0, 3}}, {});
  CHECK(judged(from_the_start(5), findings).outcome == Outcome::held);
  CHECK(judged(after_change(0, 5), findings).outcome == Outcome::not_enough);
}

TEST_CASE("cut in which sound is missing is no quiet cut") {
  auto findings = heard({{0, 3}, {4, 8}}, {});
  findings.torn = {{1, 1.25}, {2.5, 4.5}, {7.75, 9}};
  const auto trial = judged(from_the_start(10), findings);
  CHECK_THAT(trial.quiet_s, WithinAbs(1 + 1.25 + 3.25, 1e-9));
  CHECK(judged(from_the_start(3), findings).outcome == Outcome::not_enough);
  findings.torn = {{0, 10}};
  CHECK(judged(from_the_start(10), findings).quiet_s == 0);
}

TEST_CASE("a cut that is still open counts up to now") {
  const auto findings = heard({{2, -1}}, {});
  auto stretch = from_the_start(6);
  stretch.running = true;
  CHECK_THAT(judged(stretch, findings).quiet_s, WithinAbs(4.0, 1e-9));
}

TEST_CASE("chatter that dies away within the settling belongs to the speed before") {
  const auto findings = heard({{0, 20}}, {chatter(4, 10.4)});
  const auto before = judged(from_the_start(10), findings);
  CHECK(before.outcome == Outcome::chattered);
  CHECK_THAT(before.chatter_s, WithinAbs(6.0, 1e-9));
  const auto after = judged(after_change(10, 20), findings);
  CHECK(after.outcome == Outcome::held);
  CHECK(after.was_chattering);
  CHECK_THAT(after.quiet_s, WithinAbs(9.0, 1e-9));
  CHECK(after.judged_from_s == 11);
}

TEST_CASE("it may take a little longer when spindle or listener is slow, and what goes on longer is chatter of the new speed") {
  const auto slow = judged(after_change(10, 20), heard({{0, 20}}, {chatter(4, 11.6)}));
  CHECK(slow.outcome == Outcome::held);
  CHECK_THAT(slow.judged_from_s, WithinAbs(11.6, 1e-9));
  CHECK_THAT(slow.quiet_s, WithinAbs(8.4, 1e-9));
  const auto on = judged(after_change(10, 20), heard({{0, 20}}, {chatter(4, 13.5)}));
  CHECK(on.outcome == Outcome::chattered);
  CHECK(on.judged_from_s == 11);
  CHECK_THAT(on.chatter_s, WithinAbs(2.5, 1e-9));
  CHECK_THAT(on.quiet_run_s, WithinAbs(6.5, 1e-9));
  CHECK(on.returns.empty());
  // Chatter that began at the new speed is given no such time.
  CHECK(judged(after_change(10, 20), heard({{0, 20}}, {chatter(10.5, 11.6)})).outcome == Outcome::chattered);
  // And shorter than the settling it is not judged at all.
  CHECK(judged(after_change(10, 20), heard({{0, 20}}, {chatter(10.2, 10.8)})).outcome == Outcome::held);
}

TEST_CASE("quiet, then chatter again: it came back, with when, how long, at what frequency and after how much quiet") {
  const auto findings = heard({{0, 30}}, {chatter(4, 10.4), chatter(14, 14.5, 1250), chatter(17, 18, 1260)});
  const auto trial = judged(after_change(10, 30), findings);
  CHECK(trial.outcome == Outcome::returned);
  REQUIRE(trial.returns.size() == 2);
  CHECK(trial.returns[0].at_s == 14);
  CHECK_THAT(trial.returns[0].for_s, WithinAbs(0.5, 1e-9));
  CHECK(trial.returns[0].chatter_hz == 1250);
  CHECK_THAT(trial.returns[0].after_quiet_s, WithinAbs(3.0, 1e-9));
  CHECK_THAT(trial.returns[1].after_quiet_s, WithinAbs(2.5, 1e-9));
  CHECK_THAT(trial.quiet_s, WithinAbs(19 - 1.5, 1e-9));
  CHECK_THAT(trial.quiet_run_s, WithinAbs(12.0, 1e-9));
  CHECK(trial.chatter_hz == 1260);
}

TEST_CASE("the first chatter of a session did not come back, however late; the second did") {
  const auto one = judged(from_the_start(20), heard({{0, 20}}, {chatter(12, 13)}));
  CHECK(one.outcome == Outcome::chattered);
  CHECK_THAT(one.quiet_s, WithinAbs(19.0, 1e-9));
  CHECK(one.first_chatter_s == 12.0);
  const auto two = judged(from_the_start(20), heard({{0, 20}}, {chatter(12, 13), chatter(15, 16)}));
  CHECK(two.outcome == Outcome::returned);
  REQUIRE(two.returns.size() == 1);
  CHECK(two.returns[0].at_s == 15);
}

TEST_CASE("after chatter at a speed before, a second of quiet cut since the settling makes it a return") {
  const auto findings = [](double at_s) { return heard({{0, 30}}, {chatter(4, 9), chatter(at_s, 19)}); };
  CHECK(judged(after_change(10, 30), findings(12.1)).outcome == Outcome::returned);
  CHECK(judged(after_change(10, 30), findings(11.9)).outcome == Outcome::chattered);
  // Chatter of another cut says nothing of this one.
  auto stretch = after_change(10, 30);
  stretch.set_up_since_s = 10;
  const auto fresh = judged(stretch, findings(15));
  CHECK_FALSE(fresh.was_chattering);
  CHECK(fresh.outcome == Outcome::chattered);
}

TEST_CASE("air between two chatters is no quiet: pass after pass it simply chattered") {
  const auto trial = judged(from_the_start(30), heard({{0, 5}, {9, 14}}, {chatter(1, 5), chatter(9.1, 14)}));
  CHECK(trial.outcome == Outcome::chattered);
  CHECK(trial.returns.empty());
}

TEST_CASE("chatter that rose at the very change is the change's") {
  auto late = chatter(9.95, 10.6);
  const auto findings = heard({{0, 20}}, {late});
  CHECK(judged(from_the_start(10), findings).outcome == Outcome::held);
  CHECK(judged(after_change(10, 20), findings).outcome == Outcome::held);
  // Raised before the change, it is the earlier speed's.
  late.alert_s = 9.99;
  CHECK(judged(from_the_start(10), heard({{0, 20}}, {late})).outcome == Outcome::chattered);
}

TEST_CASE("chatter at the end of a trial counts, and a trial shorter than its settling tells nothing") {
  CHECK(judged(after_change(10, 20), heard({{0, 20}}, {chatter(19.5, 20)})).outcome == Outcome::chattered);
  const auto brief = judged(after_change(10, 10.8), heard({{0, 20}}, {chatter(4, 20)}));
  CHECK(brief.outcome == Outcome::not_enough);
  CHECK(brief.chatter_s == 0);
  CHECK(brief.judged_from_s <= brief.to_s);
}

TEST_CASE("nothing heard is nothing told") {
  const auto trial = judged(from_the_start(10), {});
  CHECK(trial.outcome == Outcome::not_enough);
  CHECK(trial.quiet_s == 0);
  CHECK(trial.cut_s == 0);
}

TEST_CASE("a trial at a speed that the sound contradicts never held") {
  auto stretch = from_the_start(10);
  stretch.heard_as = listen::OtherFit{6800, 4};
  const auto trial = judged(stretch, heard({{0, 10}}, {}));
  CHECK_FALSE(trial.believed());
  CHECK(trial.outcome == Outcome::not_enough);
  CHECK(judged(stretch, heard({{0, 10}}, {chatter(4, 6)})).outcome == Outcome::chattered);  // that was heard
}

TEST_CASE("live, a speed has held only after a whole marked lap or pass with cut in it") {
  trial::Rules rules;
  rules.pass_needed = true;
  const auto findings = heard({{0, 20}, {24, 30}}, {});
  const auto outcome = [&](std::vector<double> marks_s) {
    const auto trial = trial::judge(after_change(10, 30), findings, rules, marks_s);
    return std::pair(trial.outcome, trial.passes);
  };
  CHECK(outcome({}) == std::pair(Outcome::not_enough, 0));
  CHECK(outcome({12}) == std::pair(Outcome::not_enough, 0));
  CHECK(outcome({12, 16}) == std::pair(Outcome::held, 1));
  CHECK(outcome({12, 14, 16}) == std::pair(Outcome::held, 1));        // the third begins another
  CHECK(outcome({12, 14, 16, 18}) == std::pair(Outcome::held, 2));    // from 14 to 16 it was no lap
  CHECK(outcome({8, 16}) == std::pair(Outcome::not_enough, 0));      // begun at the speed before
  CHECK(outcome({10.5, 16}) == std::pair(Outcome::not_enough, 0));   // begun in the settling
  CHECK(outcome({20.5, 23.5}) == std::pair(Outcome::not_enough, 0)); // air
}

TEST_CASE("while a trial runs, chatter from before the change is waited for, not judged") {
  auto dying = chatter(4, 11.2);
  dying.open = true;
  auto stretch = after_change(10, 11.3);
  stretch.running = true;
  auto trial = judged(stretch, heard({{0, -1}}, {dying}));
  CHECK(trial.outcome == Outcome::not_enough);
  CHECK(trial.judged_from_s == trial.to_s);  // still settling
  stretch.to_s = dying.end_s = 13.4;         // it does not die
  trial = judged(stretch, heard({{0, -1}}, {dying}));
  CHECK(trial.outcome == Outcome::chattered);
}

TEST_CASE("each kind of place is judged by itself, its visits added up, and the tag given last counts") {
  const std::vector<trial::Tag> tags{{0, 30, trial::Place::wall}, {4, 5, trial::Place::corner}, {10, 12, trial::Place::corner}, {20, 21, trial::Place::corner}};
  const auto trial = trial::judge(from_the_start(30), heard({{0, 30}}, {chatter(4.2, 4.6), chatter(10.5, 11)}), {}, {}, tags);
  REQUIRE(trial.places.size() == 2);
  CHECK(trial.places[0].place == trial::Place::wall);
  CHECK(trial.places[0].outcome == Outcome::held);
  CHECK_THAT(trial.places[0].quiet_s, WithinAbs(26.0, 1e-9));
  CHECK(trial.places[1].place == trial::Place::corner);
  CHECK(trial.places[1].outcome == Outcome::returned);
  CHECK_THAT(trial.places[1].chatter_s, WithinAbs(0.9, 1e-9));
  CHECK_THAT(trial.places[1].quiet_s, WithinAbs(3.1, 1e-9));
}

TEST_CASE("chatter that goes on over a change of speed has each speed's own tone") {
  const auto findings = heard({{0, 20}}, {chatter(4, 20)});
  auto before = from_the_start(10);
  before.chatter_hz = 1205;
  auto after = after_change(10, 20);
  after.running = true;
  after.chatter_hz = 1262;
  CHECK(judged(before, findings).chatter_hz == 1205);
  CHECK(judged(after, findings).chatter_hz == 1262);
  // An episode within one speed keeps the frequency that was measured over the whole of it.
  CHECK(judged(after, heard({{0, 20}}, {chatter(12, 15)})).chatter_hz == chatter(12, 15).chatter_hz);
}
