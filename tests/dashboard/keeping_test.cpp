// What is kept of the sound is always in view, in every look, and the keys do what they say.
#include <algorithm>

#include "dashboard/keeping_view.hpp"
#include "made_state.hpp"
#include "stage.hpp"
#include "support/catch.hpp"
#include "tidy.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;
using hushmill::test::Stage;

namespace {

live::State keeping_state(bool minute, bool recording) {
  live::State state = made_state(Made::chatter);
  state.keeping.emplace();
  state.keeping->minute = minute;
  state.keeping->minute_s = minute ? 43 : 0;
  state.keeping->recording = recording;
  state.keeping->recorded_s = 192;
  state.keeping->kept_recordings = recording ? 1 : 0;
  return state;
}

Input key(const char* name, double dt_s = 0.025) {
  Input input;
  input.keys = {name};
  input.dt_s = dt_s;
  return input;
}

}  // namespace

TEST_CASE("one line says what is kept: nothing, the last minute in memory, or a recording") {
  ViewState view;
  CHECK(prepare_keeping(made_state(Made::air), view).text == "No sound is kept");
  CHECK(prepare_keeping(keeping_state(false, false), view).text == "No sound is kept");
  CHECK(prepare_keeping(keeping_state(true, false), view).text == "Last 43 s in memory");
  CHECK(prepare_keeping(keeping_state(true, false), view).dot == KeepingDot::ring);
  CHECK(prepare_keeping(keeping_state(true, true), view).text == "Recording 3:12");
  CHECK(prepare_keeping(keeping_state(true, true), view).dot == KeepingDot::disc);
  auto long_one = keeping_state(true, true);
  long_one.keeping->recorded_s = 3 * 3600 + 7 * 60 + 9;
  CHECK(prepare_keeping(long_one, view).text == "Recording 3:07:09");
  // What the disk was too slow for is said for as long as the recording runs.
  auto torn = keeping_state(true, true);
  torn.keeping->missing_samples = static_cast<std::uint64_t>(3 * torn.source.sample_rate_hz);
  CHECK(prepare_keeping(torn, view).text.find("Recording 3:12, lacks 3.0") == 0);
  CHECK(prepare_keeping(torn, view).tone == Tone::abnormal);
  auto full = keeping_state(true, false);
  full.keeping->sound_trouble = "the disk is full";
  CHECK(prepare_keeping(full, view).tone == Tone::abnormal);
  CHECK(prepare_keeping(full, view).text.find("A recording failed") == 0);
  full.keeping->journal_trouble = "the disk is full";
  CHECK(prepare_keeping(full, view).text.find("Not kept") == 0);
  full.keeping->sound_trouble.clear();
  CHECK(prepare_keeping(full, view).text.find("The journal is not written") == 0);
}

TEST_CASE("the band stays whole with the longest news beside the longest line of what was heard") {
  const auto size = GENERATE(std::pair{1280.0F, 720.0F}, std::pair{1920.0F, 1080.0F}, std::pair{1366.0F, 768.0F});
  test::Stage stage({size.first, size.second, 1, false, Look::bench, true});
  auto states = test::made_session(Made::chatter, 0.1);
  for (live::State& state : states) {
    state.keeping = keeping_state(true, false).keeping;
    state.keeping->news = "The minute was emptied; there was no recording of this session.";
  }
  states.back().snapshot.chatter->start_s -= 3700;
  stage.show(states);
  test::check_tidy(stage, size.first, size.second);
  test::check_whole(stage);
  // And between two corners that chatter.
  live::State quiet = states.back();
  quiet.episodes.back().return_of = 0;
  quiet.episodes.push_back(quiet.episodes.back());
  quiet.episodes.back().start_s = quiet.snapshot.t_s;
  quiet.snapshot.verdict = listen::Verdict::steady;
  quiet.snapshot.chatter.reset();
  states.push_back(quiet);
  for (int i = 1; i < 200; ++i) {
    states.push_back(quiet);
    states.back().snapshot.t_s += 1.03 * i;
  }
  stage.show(states);
  REQUIRE(stage.find("QUIET NOW"));
  REQUIRE(stage.find("it came back before"));
  test::check_tidy(stage, size.first, size.second);
  test::check_whole(stage);
}

TEST_CASE("the mark is in view in every look and at every size, over a cut that chatters as over an idle one") {
  for (const Look look : {Look::room, Look::bench, Look::teach}) {
    for (const auto& [width, height] : {std::pair{1280.0F, 720.0F}, {640.0F, 360.0F}, {1024.0F, 768.0F}, {3840.0F, 2160.0F}, {800.0F, 1200.0F}}) {
      CAPTURE(width, height, static_cast<int>(look));
      Stage stage({.width_px = width, .height_px = height, .look = look});
      stage.show({keeping_state(true, true)});
      stage.again({});
      const auto* text = stage.find("Recording 3:12");
      REQUIRE(text != nullptr);
      CHECK_FALSE(text->shortened);
      CHECK(text->box.x >= 0);
      CHECK(text->box.x + text->box.w <= width);
      CHECK(text->size_px >= 9);
      auto torn = keeping_state(true, true);
      torn.keeping->missing_samples = static_cast<std::uint64_t>(47 * torn.source.sample_rate_hz);
      stage.show({torn});
      const auto* lacks = stage.find("Recording 3:12, lacks 47");
      REQUIRE(lacks != nullptr);
      CHECK_FALSE(lacks->shortened);
    }
  }
}

TEST_CASE("keys keep the minute, record, stop holding it, and delete only when pressed twice") {
  Stage stage({});
  stage.show({keeping_state(true, false)});
  auto made = stage.again(key("K"));
  REQUIRE(made.size() == 1);
  CHECK(std::holds_alternative<live::KeepMinute>(made[0]));
  made = stage.again(key("R"));
  REQUIRE(made.size() == 1);
  CHECK(std::get<live::RecordSession>(made[0]).on);
  made = stage.again(key("H"));
  REQUIRE(made.size() == 1);
  CHECK_FALSE(std::get<live::HoldMinute>(made[0]).on);
  CHECK(stage.again(key("Delete")).empty());
  CHECK(prepare_keeping(stage.state(), stage.view()).text.find("Delete again: yes") != std::string::npos);
  made = stage.again(key("Delete"));
  REQUIRE(made.size() == 1);
  CHECK(std::holds_alternative<live::DropSound>(made[0]));

  // Asked, and not answered in time: the next press only asks again.
  CHECK(stage.again(key("Delete")).empty());
  Input later;
  later.dt_s = kAskS + 0.1;
  stage.again(later);
  CHECK(stage.again(key("Delete")).empty());

  // Another key takes the question back: what it asks about may be another thing by then.
  stage.again(later);
  CHECK(stage.again(key("Delete")).empty());
  stage.again(key("K"));
  CHECK(prepare_keeping(stage.state(), stage.view()).text.find("Delete again") == std::string::npos);
  CHECK(stage.again(key("Delete")).empty());
  stage.again(later);

  // While a field is being typed in, the key belongs to the field.
  stage.again(later);
  stage.again(key("Tab"));
  stage.again(key("Delete"));
  CHECK(stage.again(key("Delete")).empty());
}

TEST_CASE("without a keeper the keys do nothing, and news is shown for a moment") {
  Stage stage({});
  stage.show({made_state(Made::steady)});
  for (const char* name : {"K", "R", "H", "Delete"}) CHECK(stage.again(key(name)).empty());

  ViewState view;
  auto state = keeping_state(true, false);
  pass_time(view, state, 0.1);
  state.keeping->news = "Kept the last 43 s.";
  pass_time(view, state, 0.1);
  CHECK(prepare_keeping(state, view).text == "Kept the last 43 s.");
  pass_time(view, state, 10);
  CHECK(prepare_keeping(state, view).text == "Last 43 s in memory");
}
