// What a kept session says, on the terminal and in a report: made records in, words out.
#include <algorithm>

#include "app/inch_words.hpp"
#include "app/journal_text.hpp"
#include "app/report_content.hpp"
#include "live/trials_kept.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Contains;

namespace {

/// Two speeds; the second came back, and its sentence is longer than any file's name.
journal::SessionRecord came_back() {
  journal::SessionRecord record;
  record.session.id = 7;
  record.session.started_utc = "2026-11-26T09:00:00.000Z";
  record.session.source_kind = "recording";
  journal::CardRow card;
  card.programmed_rpm = card.entered_rpm = 6800;
  card.flutes = 4;
  record.cards.push_back(card);
  record.trials.push_back({1, 0, 8, 6800, {}, "chattered", 1.0, 1450, {}, {}, {}, "chattered: 1450 Hz for 5.0 s, from 2.00 s"});
  record.trials.push_back({3, 8, 30, 6120, {}, "returned", 4.0, 1300, {}, {}, {},
                           "came back: quiet for 1.7 s of cut, then 1300 Hz again at 11.20 s for 0.8 s, 4 times in all; against trial 1 while it chattered: " +
                               std::string(300, '-') + "the end"});
  return record;
}

}  // namespace

TEST_CASE("the journal says a trial whole, and by which number others mean it") {
  auto record = came_back();
  record.notes.push_back({2.5, "", "first line\nsecond line"});
  const auto text = app::to_text(record);
  CHECK_THAT(text, Contains("Trial  3     8.00 to    30.00 s  S6120: came back: quiet for 1.7 s of cut, then 1300 Hz again at 11.20 s for 0.8 s, 4 times in all; against trial 1"));
  CHECK_THAT(text, Contains("the end\n"));
  CHECK_THAT(text, Contains("first line\n                     second line\n"));
}

TEST_CASE("the report's trials carry the numbers that its sentences name") {
  const auto content = app::report_content(came_back(), [](double, double) { return app::SoundOrNot{}; });
  REQUIRE(content.trials.size() == 3);
  CHECK(content.trials[0].front() == "No");
  CHECK(content.trials[2].front() == "3");
}

TEST_CASE("a trial keeps its number though one before it cut nothing") {
  trial::Trial air, cut;
  air.number = 1;
  cut.number = 2;
  cut.cut_s = 4;
  const std::vector<trial::Trial> trials{air, cut};
  const auto kept = live::trials_kept(trials);
  REQUIRE(kept.size() == 1);
  CHECK(kept.front().number == 2);
}

TEST_CASE("another tool at the same speed is not hidden in the report") {
  auto record = came_back();
  auto card = record.cards.front();
  card.t_s = 35.5;
  card.flutes = 3;
  card.diameter_mm = 10;
  record.cards.push_back(card);
  journal::EventRow taken;
  taken.t_s = 35.5;
  taken.kind = "tool";
  taken.text = "T4 End mill 10";
  record.events.push_back(taken);
  const auto content = app::report_content(record, [](double, double) { return app::SoundOrNot{}; });
  const auto entered = std::find_if(content.cut.begin(), content.cut.end(), [](const auto& fact) { return fact.first == "Entered at the control"; });
  REQUIRE(entered != content.cut.end());
  CHECK_THAT(entered->second, Contains("6800 rev/min (100 %) from 35.5 s, T4 End mill 10, 3 flutes, 10 mm diameter"));
}

TEST_CASE("who works in inches reads the advice in inches, in the journal and in the report") {
  CHECK(app::in_inches("about 2.41 mm (95 %), 5.85 mm keeps it; 12 mm/min, 3 mmx, 0.1 mm") == "about 0.095 in (95 %), 0.230 in keeps it; 0.472 in/min, 3 mmx, 0.0039 in");
  CHECK(app::in_inches("mm, 25.4 mm, 2 mm^2, 254 mm") == "mm, 1.000 in, 2 mm^2, 10.000 in");
  // Longer than a number or a stack can be: a remark may be.
  const std::string digits(200'000, '7');
  CHECK(app::in_inches(digits + " mm") == digits + " mm");
  CHECK(app::in_inches(digits) == digits);
  auto record = came_back();
  record.session.settings = "--rpm 6800 --depth-in 0.1";
  journal::EpisodeRow episode;
  record.episodes.push_back(episode);
  journal::AdviceRow advice;
  advice.direction = "other";
  advice.text = "program: about 2.41 mm (95 %)";
  record.advice.push_back(advice);
  CHECK_THAT(app::to_text(record), Contains("about 0.095 in (95 %)"));
  const auto content = app::report_content(record, [](double, double) { return app::SoundOrNot{}; });
  REQUIRE(content.other.size() == 1);
  CHECK(content.other.front() == "program: about 0.095 in (95 %)");
}

TEST_CASE("a place that held is not contradicted by the line above it") {
  auto record = came_back();
  record.cuts.push_back({1, 0, 30});
  record.speeds.push_back({6120, "", "not_enough", 4, 0, false});
  record.speeds.push_back({6120, "wall", "held", 4, 0, false});
  const auto content = app::report_content(record, [](double, double) { return app::SoundOrNot{}; });
  REQUIRE(content.held.size() == 1);
  CHECK(content.held.front() == "No speed was proved over the whole cut; by places S6120 held at the wall.");
}
