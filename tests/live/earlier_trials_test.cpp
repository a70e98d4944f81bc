#include "live/earlier_trials.hpp"

#include "live/journal_rows.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using live::CutCard;

namespace {

CutCard card_at_speed(double rpm) {
  CutCard card;
  card.programmed_rpm = 6000;
  card.override_percent = 100 * rpm / 6000;
  card.flutes = 4;
  card.diameter_mm = 12;
  card.depth_mm = 3;
  return card;
}

journal::TrialRow tried(double from_s, double to_s, double rpm, const char* outcome) {
  journal::TrialRow row;
  row.from_s = from_s;
  row.to_s = to_s;
  row.spindle_rpm = rpm;
  row.outcome = outcome;
  return row;
}

journal::EpisodeRow sang(double alert_s, double hz, double entered_rpm, std::optional<double> measured_rpm = {}) {
  journal::EpisodeRow row;
  row.alert_s = alert_s;
  row.start_s = alert_s - 0.1;
  row.end_s = alert_s + 2;
  row.chatter_hz = hz;
  row.entered_rpm = entered_rpm;
  row.measured_rpm = measured_rpm;
  return row;
}

/// One evening (invented): 6000 chatters, goes on at 5400, 6600 is quiet, 7200 too short.
journal::SessionRecord evening() {
  journal::SessionRecord record;
  for (const auto& [t_s, rpm] : {std::pair{0.0, 6000.0}, {10, 5400}, {20, 6600}, {30, 7200}}) record.cards.push_back(live::card_row(t_s, card_at_speed(rpm)));
  record.trials = {tried(0, 10, 6000, "chattered"), tried(10, 20, 5400, "chattered"), tried(20, 30, 6600, "held"), tried(30, 31, 7200, "not_enough")};
  record.episodes = {sang(4, 1250, 6000, 5970)};
  return record;
}

}  // namespace

TEST_CASE("a card of the journal whose pitch repeats after no teeth, or after more than there are, is one of equal teeth") {
  for (const std::int64_t teeth : {std::int64_t{0}, std::int64_t{-1}, std::int64_t{1} << 40}) {
    journal::CardRow row;
    row.flutes = 4;
    row.pitch_pattern_teeth = teeth;
    const auto card = live::card_from(row);
    CHECK(card.pitch_pattern_teeth == 1);
    CHECK(card.comb_flutes() == 4);
  }
}

TEST_CASE("a kept session tells its speeds on the same cut, each with the tone that began there") {
  auto record = evening();
  const auto earlier = live::earlier_trials(record, card_at_speed(6000));
  CHECK_FALSE(earlier.other_cut);
  REQUIRE(earlier.trials.size() == 3);  // slowest first
  CHECK(earlier.trials[0] == advise::Trial{5400, advise::Outcome::chattered, {}});  // it only went on there
  CHECK(earlier.trials[1].outcome == advise::Outcome::chattered);
  REQUIRE(earlier.trials[1].chatter_hz);
  CHECK_THAT(*earlier.trials[1].chatter_hz, test::WithinRel(1250.0 * 6000 / 5970, 1e-12));
  CHECK(earlier.trials[2] == advise::Trial{6600, advise::Outcome::held, {}});

  SECTION("a speed that was tried again chattered if it ever did") {
    record.trials.push_back(tried(40, 50, 6000, "held"));
    record.trials.push_back(tried(60, 70, 6600, "chattered"));
    record.trials.push_back(tried(80, 90, 5405, "chattered"));
    const auto again = live::earlier_trials(record, card_at_speed(6000)).trials;
    REQUIRE(again.size() == 3);
    CHECK(again[0].outcome == advise::Outcome::returned);
    CHECK(again[1].outcome == advise::Outcome::chattered);
    CHECK(again[2].outcome == advise::Outcome::chattered);
  }
  SECTION("a session that was cut off has no trials, only its chatter") {
    record.trials.clear();
    const auto cut_off = live::earlier_trials(record, card_at_speed(6000)).trials;
    REQUIRE(cut_off.size() == 1);
    CHECK(cut_off[0].spindle_rpm == 6000);
    CHECK(cut_off[0].outcome == advise::Outcome::chattered);
  }
  SECTION("of a trial that was running when it was cut off only the chatter is known") {
    record.episodes.push_back(sang(33, 1490, 7200));
    CHECK(live::earlier_trials(record, card_at_speed(6000)).trials.size() == 4);
    record.session.ended_utc = "2026-11-25T09:00:00Z";  // an ended session has written its trials
    CHECK(live::earlier_trials(record, card_at_speed(6000)).trials.size() == 3);
  }
}

TEST_CASE("what was tried on another cut is left out and said to be") {
  const auto record = evening();
  CutCard now = card_at_speed(6000);
  const auto told = [&](const CutCard& card) { return live::earlier_trials(record, card).trials.size(); };
  now.depth_mm = 2;
  CHECK(told(now) == 0);
  CHECK(live::earlier_trials(record, now).other_cut);
  now = card_at_speed(6000);
  now.flutes = 3;
  CHECK(told(now) == 0);
  now = card_at_speed(6000);
  now.diameter_mm = 10;
  CHECK(told(now) == 0);
  now = card_at_speed(6000);
  now.depth_mm.reset();  // not known: the person says that it is the same cut
  now.radial_mm = 4;
  CHECK(told(now) == 3);
  CHECK_FALSE(live::earlier_trials(record, now).depth_not_noted);
  auto unnoted = record;
  for (auto& card : unnoted.cards) card.depth_mm.reset();
  CHECK(live::earlier_trials(unnoted, card_at_speed(6000)).depth_not_noted);

  SECTION("of a session with several cuts the last stretch on this one counts") {
    auto changed = record;
    CutCard deeper = card_at_speed(5400);
    deeper.depth_mm = 5;
    changed.cards.push_back(live::card_row(40, deeper));
    changed.trials.push_back(tried(40, 50, 5400, "held"));
    CHECK(live::earlier_trials(changed, card_at_speed(6000)).trials.size() == 3);
    CHECK(live::earlier_trials(changed, card_at_speed(6000)).other_cut);
    REQUIRE(live::earlier_trials(changed, deeper).trials.size() == 1);
    CHECK(live::earlier_trials(changed, deeper).trials[0] == advise::Trial{5400, advise::Outcome::held, {}});
    changed = record;
    changed.events.push_back({20, {}, "another_cut", {}, {}, {}});  // not told by the card
    const auto after = live::earlier_trials(changed, card_at_speed(6000));
    REQUIRE(after.trials.size() == 1);
    CHECK(after.trials[0].spindle_rpm == 6600);
    CHECK(after.other_cut);
  }
}

TEST_CASE("trials as text come back as they went, and what is damaged is left out") {
  const std::vector<advise::Trial> trials{{5400, advise::Outcome::held, {}}, {6012.5, advise::Outcome::chattered, 1370.25}, {6600, advise::Outcome::returned, {}}};
  const auto text = live::tried_text(trials);
  CHECK(text == "5400:held, 6012.5:chattered@1370.25, 6600:returned");
  CHECK(live::tried_from(text) == trials);
  CHECK(live::tried_from("").empty());
  CHECK(live::tried_from("6600:returned@1").size() == 1);  // the lowest frequency that can be typed
  CHECK(live::tried_from("nonsense, 5400:, :held, 5400:sang, -3:held, nan:held, 6000:chattered@, 6000:chattered@x,, 7000:held ").size() == 1);
}

TEST_CASE("more trials are added by speed, and what was told first counts") {
  std::vector<advise::Trial> trials{{6000, advise::Outcome::held, {}}};
  live::add_untold(std::vector<advise::Trial>{{6010, advise::Outcome::chattered, {}}, {7000, advise::Outcome::chattered, {}}}, trials);
  REQUIRE(trials.size() == 2);
  CHECK(trials[0].outcome == advise::Outcome::held);
  CHECK(trials[1].spindle_rpm == 7000);
}
