// The listening thread's work without the thread: time is what the test says it is.
#include "live/listening.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <thread>

#include "live/scripted_source.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using live::Listening;
using live::SourceKind;
using live::State;
using std::chrono::milliseconds;

namespace {

constexpr double kListeningRateHz = 48000;

/// A listening bench with a scripted source and a clock of its own.
struct ListeningBench {
  explicit ListeningBench(SourceKind kind, bool real_time = true, std::shared_ptr<live::Log> log = nullptr)
      : listening({.card = {}, .kind = kind, .real_time = real_time, .log = std::move(log)},
                  std::make_unique<test::ScriptedSource>(script, kListeningRateHz), now) {}

  void pass(milliseconds duration) {
    for (milliseconds passed{0}; passed < duration; passed += milliseconds(5)) {
      now += milliseconds(5);
      listening.step(now);
    }
  }
  State state(bool last_was_taken = true) {
    State filled;
    listening.fill(filled, last_was_taken);
    return filled;
  }

  test::Script script;
  Listening::Time now{};
  Listening listening;
};

std::vector<float> quiet(double duration_s) {
  std::vector<float> sound(static_cast<std::size_t>(duration_s * kListeningRateHz));
  for (std::size_t i = 0; i < sound.size(); ++i) sound[i] = 1e-3f * std::sin(0.37f * static_cast<float>(i));
  return sound;
}

}  // namespace

TEST_CASE("a recording is heard at the speed of real sound, and as fast as it goes where that is asked for") {
  ListeningBench paced(SourceKind::recording);
  paced.script.sound = quiet(10);
  paced.pass(milliseconds(2000));
  CHECK(paced.script.at == 96000);

  ListeningBench fast(SourceKind::recording, false);
  fast.script.sound = quiet(10);
  fast.pass(milliseconds(50));
  CHECK(fast.script.at == 48000);  // ten steps of a tenth of a second each

  ListeningBench microphone(SourceKind::microphone);  // keeps the time itself: all that is there is read
  microphone.script.sound = quiet(0.5);
  microphone.pass(milliseconds(30));
  CHECK(microphone.script.at == 24000);
}

TEST_CASE("the end of a recording is the end of listening, and the state says so") {
  ListeningBench bench(SourceKind::recording);
  bench.script.sound = quiet(1);
  bench.script.ended = true;
  bench.pass(milliseconds(900));
  CHECK(bench.state().source.running);
  bench.pass(milliseconds(200));
  const State state = bench.state();
  CHECK_FALSE(state.source.running);
  CHECK(state.source.trouble.empty());
  CHECK(state.source.name == "scripted");
  CHECK(state.source.sample_rate_hz == kListeningRateHz);
  CHECK(state.snapshot.t_s > 0.95);
  bench.pass(milliseconds(500));
  CHECK(bench.script.reopen_calls == 0);
}

TEST_CASE("a microphone that goes away is named, looked for four times a second and listened to again") {
  const test::TemporaryFolder folder;
  {
    ListeningBench bench(SourceKind::microphone, true, std::make_shared<live::Log>(folder.path()));
    bench.script.sound = quiet(2);
    bench.pass(milliseconds(200));
    CHECK(bench.state().source.running);
    bench.script.ended = true;
    bench.script.trouble = "microphone 'scripted': is gone";
    bench.pass(milliseconds(2200));
    CHECK_FALSE(bench.state().source.running);
    CHECK(bench.state().source.trouble == "microphone 'scripted': is gone");
    CHECK(bench.script.reopen_calls == 8);
    bench.script.back_on_reopen = true;
    bench.script.lost = 4800;
    bench.script.gap = capture::Gap{96000, 4800};
    bench.pass(milliseconds(600));
    CHECK(bench.state().source.running);
    CHECK(bench.state().source.trouble.empty());
    CHECK(bench.state().source.lost_samples == 4800);
    REQUIRE(bench.state().lost.size() == 1);
    CHECK(bench.state().lost[0].t_s == 2.0);
    CHECK(bench.state().lost[0].lost_s == 0.1);
    const auto heard = bench.state().snapshot.sample;
    bench.script.sound = quiet(3);
    bench.pass(milliseconds(200));
    CHECK(bench.state().snapshot.sample > heard + 40000);
  }
  const auto bytes = test::file_bytes(folder / "hushmill.log");
  const std::string log(bytes.begin(), bytes.end());
  CHECK(log.find("warning microphone 'scripted': is gone (at 1.9") != std::string::npos);
  CHECK(log.find("info 'scripted' is back") != std::string::npos);
  CHECK(log.find("warning lost 4800 samples at 2.00 s, 4800 in all") != std::string::npos);
}

TEST_CASE("a state that nobody took hands its peak on; one that was taken does not") {
  ListeningBench bench(SourceKind::microphone);
  bench.script.sound = quiet(1);
  bench.script.sound[9000] = 0.5f;  // a click of one sample
  const double click_dbfs = 20 * std::log10(0.5);
  bench.pass(milliseconds(50));
  CHECK_THAT(bench.state().snapshot.peak_dbfs, test::WithinAbs(click_dbfs, 0.01));

  bench.script.sound.resize(96000);
  bench.pass(milliseconds(50));
  CHECK_THAT(bench.state(false).snapshot.peak_dbfs, test::WithinAbs(click_dbfs, 0.01));
  bench.script.sound.resize(144000);
  bench.pass(milliseconds(50));
  CHECK_THAT(bench.state(false).snapshot.peak_dbfs, test::WithinAbs(click_dbfs, 0.01));
  bench.script.sound.resize(192000);
  bench.pass(milliseconds(50));
  CHECK(bench.state(true).snapshot.peak_dbfs < click_dbfs - 20);
}

TEST_CASE("a source that fails outright ends the listening with its words") {
  ListeningBench bench(SourceKind::recording);
  bench.script.sound = quiet(1);
  bench.pass(milliseconds(100));
  bench.script.fails = true;
  CHECK_THROWS(bench.pass(milliseconds(10)));
  bench.listening.give_up("the disk caught fire");
  CHECK(bench.state().source.trouble == "the disk caught fire");
  CHECK_FALSE(bench.state().source.running);
  bench.pass(milliseconds(100));
}

TEST_CASE("a new card reaches the listener, a bad one is not taken") {
  ListeningBench bench(SourceKind::microphone);
  bench.script.sound = quiet(3);
  bench.pass(milliseconds(20));
  CHECK(bench.state().snapshot.entered_rpm == 6000);
  live::CutCard card;
  card.override_percent = 80;
  card.flutes = 3;
  bench.listening.apply(live::ChangeCard{card});
  bench.pass(milliseconds(20));
  CHECK(bench.state().snapshot.entered_rpm == 4800);
  CHECK(bench.state().snapshot.flutes == 3);
  CHECK(bench.state().card.override_percent == 80);
  card.flutes = 99;
  bench.listening.apply(live::ChangeCard{card});
  bench.pass(milliseconds(20));
  CHECK(bench.state().card.flutes == 3);
  CHECK(bench.state().snapshot.flutes == 3);
}

TEST_CASE("a speed that is known beforehand is entered at its own sample, however fast the sound is read") {
  test::Script script;
  script.sound = quiet(4);
  live::LiveSettings settings;
  settings.kind = SourceKind::recording;
  settings.real_time = false;
  settings.entered_later = {{1.25, 5400}, {2.5, 6600}};
  Listening::Time now{};
  Listening listening(settings, std::make_unique<test::ScriptedSource>(script, 48000), now);
  for (int i = 0; i < 60; ++i) listening.step(now);  // nobody looks meanwhile
  State state;
  listening.fill(state, false);
  REQUIRE(state.trials.size() == 3);
  CHECK_THAT(state.trials[1].from_s, test::WithinAbs(1.25, 0.011));  // the listener's hop
  CHECK(state.trials[1].spindle_rpm == 5400);
  CHECK_THAT(state.trials[2].from_s, test::WithinAbs(2.5, 0.011));
  CHECK_THAT(state.card.entered_rpm(), test::WithinAbs(6600, 1e-9));
}

TEST_CASE("a rig that is made to chatter is heard to chatter, and advice comes by itself") {
  const rig::RigSettings settings = rig::bracket_wall();
  live::LiveSettings live_settings;
  live_settings.card.programmed_rpm = settings.start.spindle_rpm;
  live_settings.card.flutes = settings.model.cutter.flutes;
  live_settings.card.min_rpm = 2000;
  live_settings.card.max_rpm = 12000;
  Listening::Time now{};
  Listening listening(live_settings, std::make_unique<capture::RigSource>(rig::Rig(settings)), now);
  State state;
  const auto pass = [&](double duration_s) {
    for (double passed_s = 0; passed_s < duration_s; passed_s += 0.02) {
      now += milliseconds(20);
      listening.step(now);
    }
    listening.fill(state, true);
  };
  rig::RigControls controls = settings.start;
  controls.in_cut = false;
  listening.apply(live::TurnRig{controls});
  pass(2);
  controls.in_cut = true;
  listening.apply(live::TurnRig{controls});
  pass(3);
  CHECK(state.episode_count == 0);
  CHECK_FALSE(state.advice_ready);
  REQUIRE(state.rig.has_value());
  CHECK(state.rig->in_cut);

  controls.depth_mm = 3;
  listening.apply(live::TurnRig{controls});
  pass(3);
  REQUIRE(state.episode_count >= 1);
  CHECK(state.episodes.size() == state.episode_count);
  CHECK(std::any_of(state.events.begin(), state.events.end(),
                    [](const listen::Event& event) { return event.kind == listen::EventKind::chatter_onset; }));
  for (int i = 0; i < 2000 && !state.advice_ready; ++i) {
    std::this_thread::sleep_for(milliseconds(1));
    now += milliseconds(20);  // the answer is taken up between hops, so the sound must go on
    listening.step(now);
    listening.fill(state, true);
  }
  REQUIRE(state.advice_ready);
  CHECK((state.advice.lower || state.advice.higher));
  CHECK_FALSE(state.advice.reason.empty());
}
