// What the screen says in words of the microphone: the guided check and the source strip.
#include "dashboard/check_view.hpp"
#include "dashboard/microphone_view.hpp"
#include "made_state.hpp"
#include "plain.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;
using hushmill::test::Made;
using hushmill::test::made_state;
using hushmill::test::plain;

TEST_CASE("the microphone check's card leads through its steps and ends with a result in words") {
  live::State state = made_state(Made::air, 12, false);
  CHECK(prepare_check(state).steps.empty());

  state.check.emplace();
  state.check->stage_s = 1.2;
  CheckView view = prepare_check(state);
  REQUIRE(view.steps.size() == 4);
  CHECK(view.steps[0].now);
  CHECK(plain(view.steps[0].status) == "2 s");
  CHECK(view.result.empty());

  state.check->stage = listen::CheckStage::sounds;
  state.check->room_dbfs = -54;
  state.check->claps = 2;
  view = prepare_check(state);
  CHECK(view.steps[0].done);
  CHECK(view.steps[1].now);
  CHECK(view.steps[1].status == "2 of 3");
  CHECK_FALSE(view.steps[2].now);

  state.check->claps = 3;
  CHECK(prepare_check(state).steps[2].now);

  state.check->stage = listen::CheckStage::over;
  state.check->result = listen::CheckResult::fault;
  state.check->faults = {{listen::Warning::noise_suppression, 0, 9, 2}};
  view = prepare_check(state);
  CHECK(view.result == "FAULT");
  CHECK(view.result_tone == Tone::danger);
  REQUIRE(view.lines.size() == 1);
  CHECK(view.lines[0].text == warning_words(listen::Warning::noise_suppression, state));
}

TEST_CASE("the source strip shows level, loss and clipping as they are") {
  live::State state = made_state(Made::steady, 12, false);
  state.snapshot.level_dbfs = -30;
  state.snapshot.peak_dbfs = -15;
  MicrophoneView view = prepare_microphone(state);
  CHECK(std::string(view.title) == "Microphone");
  CHECK_THAT(view.level, test::WithinAbs(0.5, 1e-9));
  CHECK_THAT(view.peak, test::WithinAbs(0.75, 1e-9));
  CHECK(plain(view.level_text) ==
        "\xE2\x88\x92"
        "30 dB, clean");
  CHECK(view.level_tone == Tone::normal);
  state.snapshot.peak_dbfs = -2;
  CHECK(plain(prepare_microphone(state).level_text) ==
        "\xE2\x88\x92"
        "30 dB, loud");
  state.source.lost_samples = 480;
  state.snapshot.clipped_samples = 3;
  state.snapshot.peak_dbfs = 0;
  view = prepare_microphone(state);
  CHECK(view.level_text.find("clean") == std::string::npos);
  CHECK(view.level_tone == Tone::danger);
  REQUIRE(view.lines.size() >= 2);
  CHECK(view.lines[0].text == "480 samples lost");
  CHECK(view.lines[1].text.find("Clipped") == 0);
  state.snapshot.level_dbfs = -200;
  CHECK(prepare_microphone(state).level_text == "no sound yet");
}
