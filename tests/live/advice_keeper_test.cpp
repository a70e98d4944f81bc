#include "live/advice_keeper.hpp"

#include <atomic>
#include <chrono>
#include <mutex>
#include <thread>
#include <vector>

#include "support/catch.hpp"

using namespace hushmill;
using live::AdviceKeeper;
using live::CutCard;
using std::chrono::milliseconds;

namespace {

/// A keeper with an adviser that writes down what it was asked, and the sound's side of the story.
struct Bench {
  std::mutex mutex;
  std::vector<advise::Question> asked;
  listen::Snapshot snapshot;
  listen::Findings findings;
  CutCard card;
  advise::Advice answer(const advise::Question& question) {
    const std::lock_guard lock(mutex);
    asked.push_back(question);
    advise::Advice advice;
    advice.reason = std::to_string(asked.size());
    advice.lower.emplace();
    advice.lower->spindle_rpm = 5000;
    advice.lower->plain_spindle_rpm = 60 * question.chatter_hz / question.flutes;
    return advice;
  }
  AdviceKeeper keeper;

  explicit Bench(std::vector<advise::Trial> before = {}) : keeper([this](const advise::Question& question) { return answer(question); }, std::move(before)) { snapshot.entered_rpm = card.entered_rpm(); }

  void begin_episode(double chatter_hz) {
    listen::Episode episode;
    episode.chatter_hz = chatter_hz;
    episode.growth_per_s = 30;
    findings.episodes.push_back(episode);
    snapshot.chatter = listen::ChatterNow{};
    snapshot.chatter->chatter_hz = chatter_hz;
  }
  void end_episode() {
    findings.episodes.back().open = false;
    snapshot.chatter.reset();
  }
  void pass(double seconds) {
    snapshot.t_s += seconds;
    keeper.process(snapshot, findings, card, findings.other_fit);
    for (int i = 0; i < 20; ++i) {  // time for the desk
      std::this_thread::sleep_for(milliseconds(1));
      keeper.process(snapshot, findings, card, findings.other_fit);
    }
  }
  std::vector<advise::Question> questions() {
    const std::lock_guard lock(mutex);
    return asked;
  }
};

}  // namespace

TEST_CASE("nothing is asked without chatter; an episode is asked about once, in entered speeds") {
  Bench bench;
  bench.snapshot.measured_rpm = 5970;
  bench.pass(1);
  CHECK(bench.questions().empty());
  CHECK_FALSE(bench.keeper.ready());
  bench.begin_episode(1250);
  for (int i = 0; i < 5; ++i) bench.pass(0.5);
  const auto asked = bench.questions();
  REQUIRE(asked.size() == 1);
  // As many waves per tooth at the entered speed as there were at the true one.
  CHECK_THAT(asked[0].chatter_hz / asked[0].spindle_rpm, test::WithinRel(1250.0 / 5970, 1e-12));
  CHECK(asked[0].spindle_rpm == 6000);
  CHECK(asked[0].programmed_rpm == 6000);
  CHECK(asked[0].growth_per_s == 30.0);
  CHECK(bench.keeper.ready());
  CHECK(bench.keeper.advice().reason == "1");
  REQUIRE(bench.keeper.advice().lower);
  CHECK(bench.keeper.advice().lower->spindle_rpm == 5000);  // to be typed as it stands
  // The plain rule shows the tone as it was heard: 60·1250/4.
  CHECK_THAT(bench.keeper.advice().lower->plain_spindle_rpm, test::WithinRel(18750.0, 1e-12));
}

TEST_CASE("a tone that moves is asked about again, but not more than four times a second") {
  Bench bench;
  bench.begin_episode(1250);
  bench.pass(0.01);
  for (int i = 0; i < 100; ++i) {
    bench.snapshot.chatter->chatter_hz += 5;  // 0.4 % a step
    bench.snapshot.t_s += 0.01;
    bench.keeper.process(bench.snapshot, bench.findings, bench.card, bench.findings.other_fit);
    std::this_thread::sleep_for(milliseconds(1));
  }
  bench.pass(0.0);
  CHECK(bench.questions().size() >= 4);
  CHECK(bench.questions().size() <= 6);
  CHECK(bench.questions().back().chatter_hz > 1700);
  bench.pass(5);
  bench.snapshot.chatter->chatter_hz *= 1.002;  // within a third of a percent of the last one asked, or nearly
  const auto before = bench.questions().size();
  bench.pass(5);
  CHECK(bench.questions().size() <= before + 1);
}

TEST_CASE("a speed chosen after the chatter ended does not change what was heard at which speed") {
  Bench bench;
  bench.snapshot.measured_rpm = 5970;
  bench.begin_episode(1250);
  bench.pass(0.5);
  bench.end_episode();
  bench.pass(0.5);
  CutCard slower = bench.card;
  slower.override_percent = 90;
  bench.keeper.change_card(bench.card, slower, bench.snapshot.t_s);
  bench.card = slower;
  bench.snapshot.entered_rpm = 5400;
  bench.snapshot.measured_rpm = 5373;
  bench.pass(3);
  const auto asked = bench.questions();
  REQUIRE(asked.size() == 2);  // the card is new, so the answer may be
  CHECK(asked[1].spindle_rpm == 6000);
  CHECK_THAT(asked[1].chatter_hz, test::WithinRel(1250.0 * 6000 / 5970, 1e-12));
}

TEST_CASE("chatter that goes on at a new speed is asked about at that speed, once the spindle has settled") {
  Bench bench;
  bench.snapshot.measured_rpm = 5970;
  bench.begin_episode(1250);
  bench.pass(0.5);
  CutCard slower = bench.card;
  slower.override_percent = 90;
  bench.keeper.change_card(bench.card, slower, bench.snapshot.t_s);
  bench.card = slower;
  bench.snapshot.entered_rpm = 5400;
  bench.snapshot.measured_rpm.reset();
  bench.pass(0.3);
  CHECK(bench.questions().back().spindle_rpm == 6000);
  bench.snapshot.measured_rpm = 5373;
  bench.pass(2);
  CHECK(bench.questions().back().spindle_rpm == 5400);
  CHECK_THAT(bench.questions().back().chatter_hz, test::WithinRel(1250.0 * 5400 / 5373, 1e-12));
}

TEST_CASE("a new episode begins without advice, and an old answer that comes late is not taken for its own") {
  std::atomic<bool> let_go{false};
  listen::Snapshot snapshot;
  snapshot.entered_rpm = 6000;
  listen::Findings findings;
  const CutCard card;
  AdviceKeeper keeper([&](const advise::Question& question) {
    while (!let_go && question.chatter_hz == 1250) std::this_thread::sleep_for(milliseconds(1));
    advise::Advice advice;
    advice.reason = std::to_string(static_cast<int>(question.chatter_hz));
    return advice;
  });
  findings.episodes.emplace_back().chatter_hz = 1250;
  keeper.process(snapshot, findings, card, findings.other_fit);
  std::this_thread::sleep_for(milliseconds(20));  // the desk has taken the first question
  findings.episodes.back().open = false;
  findings.episodes.emplace_back().chatter_hz = 800;
  snapshot.t_s = 5;
  keeper.process(snapshot, findings, card, findings.other_fit);
  CHECK_FALSE(keeper.ready());
  let_go = true;
  for (int i = 0; i < 2000 && !keeper.ready(); ++i) {
    keeper.process(snapshot, findings, card, findings.other_fit);
    std::this_thread::sleep_for(milliseconds(1));
  }
  REQUIRE(keeper.ready());
  CHECK(keeper.advice().reason == "800");
}

TEST_CASE("chatter that comes back with the same tone at the same speed gets the advice it had") {
  Bench bench;
  bench.begin_episode(1450);
  bench.pass(0.5);
  bench.end_episode();
  bench.pass(0.5);
  const auto first = bench.questions().size();
  for (const double hz : {1459.0, 1442.0}) {
    bench.begin_episode(hz);
    bench.findings.episodes.back().return_of = 0;
    bench.pass(0.5);
    CHECK(bench.keeper.ready());
    CHECK_FALSE(bench.keeper.waiting());
    CHECK(bench.keeper.advice().lower.has_value());
    bench.end_episode();
    bench.pass(0.5);
  }
  CHECK(bench.questions().size() == first);
  bench.begin_episode(659);  // another tone is news
  bench.pass(0.5);
  CHECK(bench.questions().size() > first);
  bench.end_episode();
  const auto then = bench.questions().size();
  auto changed = bench.card;
  changed.max_rpm = 9000;  // so is another limit
  bench.keeper.change_card(bench.card, changed, bench.snapshot.t_s);
  bench.card = changed;
  bench.begin_episode(1450);
  bench.findings.episodes.back().return_of = 0;
  bench.pass(0.5);
  CHECK(bench.questions().size() > then);
}

TEST_CASE("speeds tried before the sound began are told to the adviser, until the cut is another") {
  Bench bench(std::vector<advise::Trial>{{5400, advise::Outcome::held, {}}, {6000, advise::Outcome::chattered, 1250.0}});
  bench.begin_episode(1250);
  bench.pass(0.5);
  REQUIRE(bench.questions().size() == 1);
  const auto tried = bench.questions()[0].tried;
  REQUIRE(tried.size() == 1);  // the present speed is none of them
  CHECK(tried[0].spindle_rpm == 5400);
  // Another session is taken up as the chatter goes on: it is asked anew.
  bench.keeper.take_tried(std::vector<advise::Trial>{{6600, advise::Outcome::returned, 1180.0}});
  bench.pass(0.5);
  REQUIRE(bench.questions().size() == 2);
  REQUIRE(bench.questions()[1].tried.size() == 1);
  CHECK(bench.questions()[1].tried[0].spindle_rpm == 6600);
  // A diameter that was typed by mistake and taken back forgets nothing.
  CutCard slip = bench.card;
  slip.diameter_mm = 99;
  bench.keeper.change_card(bench.card, slip, bench.snapshot.t_s);
  CHECK(bench.keeper.tried_before().empty());
  bench.keeper.change_card(slip, bench.card, bench.snapshot.t_s + 2, true);
  CHECK(bench.keeper.tried_before().size() == 1);
  bench.keeper.forget_trials(bench.snapshot.t_s);
  CHECK(bench.keeper.tried_before().empty());
  bench.end_episode();
  bench.begin_episode(1100);
  bench.pass(0.5);
  CHECK(bench.questions().back().tried.empty());
}
