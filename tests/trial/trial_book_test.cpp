#include "trial/trial_book.hpp"

#include <cmath>

#include "support/catch.hpp"
#include "trial/heard.hpp"

using namespace hushmill;
using test::WithinAbs;
using trial::Outcome;

namespace {

constexpr double kHopS = 256 / 24000.0;
constexpr double kBinHz = 12;

/// A listener's side of the story, told hop by hop: chatter at 1290 Hz or none, always in the cut from `cut_from_s`.
struct Story {
  explicit Story(trial::Rules rules = {}, std::vector<trial::Tag> tags = {}) : book(rules, std::move(tags)) {
    findings.stretches.push_back({0, 0, 6000, {}, {}});
    snapshot.bin_hz = kBinHz;
    snapshot.flutes = 4;
    snapshot.entered_rpm = 6000;
    snapshot.room_dbfs.assign(600, -95.0F);
  }

  void to(double t_s, bool chatter) {
    while (snapshot.t_s + kHopS <= t_s) {
      snapshot.t_s += kHopS;
      const bool cutting = snapshot.t_s >= cut_from_s;
      if (cutting && findings.cuts.empty()) findings.cuts.push_back({cut_from_s, -1});
      auto& episodes = findings.episodes;
      if (chatter && (episodes.empty() || !episodes.back().open)) {
        episodes.push_back(test::chatter(snapshot.t_s, snapshot.t_s, 1290));
        episodes.back().open = true;
      }
      if (!episodes.empty() && episodes.back().open) {
        if (chatter) episodes.back().end_s = snapshot.t_s;
        if (snapshot.t_s - episodes.back().end_s > 0.4) episodes.back().open = false;
      }
      snapshot.verdict = !cutting ? listen::Verdict::no_cut : chatter ? listen::Verdict::chatter : listen::Verdict::steady;
      snapshot.measured_rpm = heard_rpm ? *heard_rpm : snapshot.entered_rpm;
      if (heard_rpm && !(*heard_rpm > 0)) snapshot.measured_rpm.reset();
      snapshot.level_dbfs = chatter ? -11 : -20;
      snapshot.spectrum_dbfs.assign(600, -90.0F);
      for (int k = 1; k < 15; ++k) snapshot.spectrum_dbfs[static_cast<std::size_t>(std::lround(k * 400 / kBinHz))] = -30.0F;
      snapshot.spectrum_dbfs[static_cast<std::size_t>(std::lround(1290 / kBinHz))] = chatter ? -12.0F : -50.0F;
      book.process(snapshot, findings);
    }
  }
  void turn(double rpm) {
    findings.stretches.back().to_s = snapshot.t_s;
    findings.stretches.push_back({snapshot.t_s, snapshot.t_s, rpm, {}, {}});
    snapshot.entered_rpm = rpm;
    book.process(snapshot, findings);
  }
  std::vector<trial::Trial> trials() const { return book.trials(findings); }
  void finish() {
    findings.stretches.back().to_s = snapshot.t_s;
    if (!findings.cuts.empty()) findings.cuts.back().end_s = snapshot.t_s;
    book.finish(findings);
  }

  double cut_from_s = 1;
  std::optional<double> heard_rpm;  // by the listener; none: as entered, 0: it cannot be told
  listen::Snapshot snapshot;
  listen::Findings findings;
  trial::TrialBook book;
};

}  // namespace

TEST_CASE("a typed speed that is never heard has not held, whatever the listener makes of the sound") {
  for (const double heard_rpm : {0.0, 6000.0}) {
    Story story;
    story.to(4, false);
    story.to(8, true);
    story.turn(5400);
    story.heard_rpm = heard_rpm;  // nothing, or still the speed before
    story.to(16, false);
    story.finish();
    const auto trials = story.trials();
    REQUIRE(trials.size() == 2);
    CHECK(trials[1].quiet_s > 5);
    CHECK_FALSE(trials[1].speed_heard);
    CHECK(trials[1].outcome == Outcome::not_enough);
  }
}

TEST_CASE("each entered speed is a trial; before and after a change are numbers") {
  Story story;
  story.to(4, false);
  story.to(8, true);
  story.turn(5990);  // near enough that the comb is the same
  story.to(16, false);
  auto trials = story.trials();
  REQUIRE(trials.size() == 2);
  CHECK(trials[0].outcome == Outcome::chattered);
  CHECK_FALSE(trials[0].running);
  CHECK(trials[1].running);
  CHECK(trials[1].outcome == Outcome::held);
  REQUIRE(trials[1].compared);
  CHECK(trials[1].number == 2);
  CHECK(trials[1].compared->trial == 1);
  CHECK_THAT(trials[1].compared->before.tone_dbfs, WithinAbs(-12, 0.5));
  CHECK_THAT(trials[1].compared->after.tone_dbfs, WithinAbs(-50, 0.5));
  CHECK_THAT(trials[1].compared->before.total_dbfs, WithinAbs(-11, 0.1));
  CHECK_THAT(trials[1].compared->after.total_dbfs, WithinAbs(-20, 0.1));
  CHECK(trials[1].compared->before.share > 0.7);
  CHECK(trials[1].compared->after.share < 0.02);
  story.finish();
  const auto ended = story.trials();
  REQUIRE(ended.size() == 2);
  CHECK(ended[1].outcome == Outcome::held);
  CHECK_FALSE(ended[1].running);
  CHECK_THAT(ended[1].to_s, WithinAbs(16, 0.02));
}

TEST_CASE("what came back is compared by its chatter, not by the quiet between") {
  Story story;
  story.to(4, false);
  story.to(8, true);
  story.turn(5990);
  story.to(13, false);
  story.to(16, true);
  const auto trials = story.trials();
  REQUIRE(trials.size() == 2);
  CHECK(trials[1].outcome == Outcome::returned);
  REQUIRE(trials[1].compared);
  CHECK_THAT(trials[1].compared->after.tone_dbfs, WithinAbs(-12, 0.5));
}

TEST_CASE("a lap is marked at its begin and at its end; a second press in a hurry is none, and one begun before a change does not count") {
  trial::Rules rules;
  rules.pass_needed = true;
  Story story(rules);
  const auto mark_at = [&](double t_s) {
    story.to(t_s, false);
    story.book.mark(story.snapshot.t_s);
  };
  mark_at(4);  // begun at the speed before
  story.turn(5990);
  mark_at(8);
  story.to(9.5, false);
  CHECK(story.trials()[1].passes == 0);
  CHECK_FALSE(story.trials()[1].pass_begun);
  mark_at(10);
  mark_at(10.4);
  CHECK(story.trials()[1].pass_begun);
  mark_at(13);
  story.to(14, false);
  CHECK(story.trials()[1].passes == 1);
  mark_at(15);
  mark_at(18);
  story.to(19, false);
  CHECK(story.trials()[1].passes == 2);
}

TEST_CASE("no sound at all is one trial that tells nothing, and two changes at once leave none between") {
  Story story;
  story.turn(5000);
  story.turn(5400);
  CHECK(story.trials().size() == 1);
  CHECK(story.trials()[0].spindle_rpm == 5400);
  story.finish();
  REQUIRE(story.trials().size() == 1);
  CHECK(story.trials()[0].outcome == Outcome::not_enough);

  trial::TrialBook unheard{trial::Rules{}};
  listen::Findings findings;
  findings.stretches.push_back({0, 0, 6000, {}, {}});
  unheard.finish(findings);
  REQUIRE(unheard.trials(findings).size() == 1);
  CHECK(unheard.trials(findings)[0].outcome == Outcome::not_enough);
}

TEST_CASE("another cut is another trial, and what chattered before does not count against it") {
  Story story;
  story.to(4, true);
  story.book.new_set_up(story.snapshot.t_s);
  story.to(9, false);
  story.to(10, true);
  const auto trials = story.trials();
  REQUIRE(trials.size() == 2);
  CHECK(trials[1].set_up == 1);
  CHECK(trials[1].outcome == Outcome::chattered);  // not returned: this cut had not chattered before
  CHECK_FALSE(trials[1].compared);
}

TEST_CASE("the sound that fits another speed for a second makes a trial not to be believed, and confirming it begins a new one") {
  Story story;
  story.to(5, false);
  story.findings.other_fit = listen::OtherFit{5400, 4};
  const double doubted_s = story.snapshot.t_s;
  story.to(5.5, false);
  CHECK_FALSE(story.trials()[0].believed());  // as long as it stands
  story.findings.other_fit.reset();
  story.to(6, false);
  CHECK(story.trials()[0].believed());  // half a second was nothing
  story.findings.other_fit = listen::OtherFit{5400, 4};
  story.to(9, false);
  CHECK_FALSE(story.trials()[0].believed());
  CHECK(story.trials()[0].outcome == Outcome::not_enough);

  story.book.next_began(doubted_s);
  story.findings.other_fit.reset();
  story.turn(5400);
  story.to(11, false);
  const auto trials = story.trials();
  REQUIRE(trials.size() == 2);
  CHECK_THAT(trials[1].from_s, WithinAbs(doubted_s, 1e-9));
  CHECK(trials[1].spindle_rpm == 5400);
  CHECK(trials[1].believed());
  CHECK(trials[1].outcome == Outcome::held);
  CHECK(trials[0].believed());
  CHECK(trials[0].outcome == Outcome::held);
}

TEST_CASE("tags by key stand until the next, and levels are compared over the same kind of place") {
  Story story;
  story.book.tag(1, trial::Place::wall);
  story.to(4, false);
  story.book.tag(story.snapshot.t_s, trial::Place::corner);
  story.to(6, true);
  story.book.tag(story.snapshot.t_s, trial::Place::wall);
  story.to(8, false);
  story.turn(5990);
  story.to(12, false);
  story.book.tag(story.snapshot.t_s, trial::Place::corner);
  story.to(16, false);
  story.book.tag(story.snapshot.t_s, std::nullopt);
  story.to(18, false);
  const auto trials = story.trials();
  REQUIRE(trials.size() == 2);
  REQUIRE(trials[0].places.size() == 2);
  CHECK(trials[0].places[0].outcome == Outcome::held);
  CHECK(trials[0].places[1].outcome == Outcome::chattered);
  REQUIRE(trials[1].places.size() == 2);
  CHECK_THAT(trials[1].places[1].quiet_s, WithinAbs(4, 0.05));
  REQUIRE(trials[1].compared);
  CHECK(trials[1].compared->place == trial::Place::corner);
  CHECK(trials[1].compared->after.over_s < 4.1);
}

TEST_CASE("a thousand changes stay bounded and keep their numbers") {
  Story story;
  story.to(2, true);
  for (int i = 0; i < 1100; ++i) {
    story.turn(5000 + i % 7);
    story.to(story.snapshot.t_s + 0.2, false);
  }
  const auto trials = story.trials();
  CHECK(trials.size() <= 1020);
  CHECK(trials.size() + story.book.forgotten() == 1101);
  CHECK(story.book.last_trials(story.findings, 8).size() <= 30);
}
