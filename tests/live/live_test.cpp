// The instrument with its threads: what the screen's side may rely on.
#include "live/live.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <functional>
#include <memory>
#include <stdexcept>
#include <thread>

#include "capture/recording.hpp"
#include "capture/recording_writer.hpp"
#include "capture/rig_source.hpp"
#include "live/scripted_source.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using live::Live;
using live::SourceKind;
using live::State;
using std::chrono::milliseconds;
using Clock = std::chrono::steady_clock;

namespace {

/// Polls as a screen would, until `enough` or 20 s have passed; how many new states came.
int watch(Live& instrument, State& state, const std::function<bool(const State&)>& enough) {
  int states = 0;
  const auto until = Clock::now() + std::chrono::seconds(20);
  while (Clock::now() < until) {
    if (instrument.poll(state)) {
      ++states;
      if (enough(state)) break;
    }
    std::this_thread::sleep_for(milliseconds(2));
  }
  return states;
}

live::CutCard card_of(double programmed_rpm, int flutes) {
  live::CutCard card;
  card.programmed_rpm = programmed_rpm;
  card.flutes = flutes;
  return card;
}

std::unique_ptr<capture::Source> rig_source() {
  return std::make_unique<capture::RigSource>(rig::Rig(rig::bracket_wall()));
}

}  // namespace

TEST_CASE("states come by themselves, newest first, and the sound's time goes forward with the clock") {
  Live instrument({.card = card_of(6800, 4)}, rig_source());
  State state;
  CHECK(watch(instrument, state, [](const State&) { return true; }) == 1);
  CHECK(state.source.kind == SourceKind::rig);
  CHECK(state.source.name == "rig");
  CHECK(state.source.running);
  const auto before = Clock::now();
  const double from_s = state.snapshot.t_s;
  const int states = watch(instrument, state, [&](const State& s) { return s.snapshot.t_s > from_s + 0.5; });
  const double passed_s = std::chrono::duration<double>(Clock::now() - before).count();
  CHECK(states >= 2);
  CHECK(states <= 25 + 40 * passed_s);  // about 40 a second, never a flood
  CHECK(passed_s >= 0.3);               // a rig that ran ahead of real time would be here sooner
  CHECK(state.snapshot.t_s <= from_s + 0.5 + passed_s);
}

TEST_CASE("commands reach the rig and the card; a full line says no instead of waiting") {
  Live instrument({.card = card_of(6800, 4)}, rig_source());
  State state;
  watch(instrument, state, [](const State&) { return true; });
  rig::RigControls controls = *state.rig;
  controls.spindle_rpm = 5000;
  live::CutCard card = state.card;
  card.override_percent = 90;
  CHECK(instrument.send(live::TurnRig{controls}));
  CHECK(instrument.send(live::ChangeCard{card}));
  watch(instrument, state, [](const State& s) { return s.card.override_percent == 90; });
  CHECK(state.card.override_percent == 90);
  REQUIRE(state.rig.has_value());
  CHECK(state.rig->spindle_rpm == 5000);
  bool refused = false;
  for (int i = 0; i < 100000 && !refused; ++i) refused = !instrument.send(live::TurnRig{controls});
  CHECK(refused);
}

TEST_CASE("a screen that sleeps misses no episode, no event and no peak") {
  const test::TemporaryFolder folder;
  {
    capture::RecordingWriter writer(folder / "clicks.wav", {.depth = capture::SampleDepth::bits32});
    std::vector<float> sound(4 * 48000);
    for (std::size_t i = 0; i < sound.size(); ++i) sound[i] = 1e-3f * std::sin(0.4f * static_cast<float>(i));
    sound[60000] = 0.8f;
    writer.write(sound);
    writer.close();
  }
  Live instrument({.kind = SourceKind::recording, .real_time = false},
                  std::make_unique<capture::Recording>(folder / "clicks.wav"));
  State state;
  double loudest_dbfs = -200;
  const auto until = Clock::now() + std::chrono::seconds(20);
  do {
    std::this_thread::sleep_for(milliseconds(150));  // some six states are overtaken each time
    if (instrument.poll(state)) loudest_dbfs = std::max(loudest_dbfs, state.snapshot.peak_dbfs);
  } while (state.source.running && Clock::now() < until);
  CHECK_FALSE(state.source.running);
  CHECK(state.snapshot.t_s > 3.9);
  CHECK_THAT(loudest_dbfs, test::WithinAbs(20 * std::log10(0.8), 0.01));
}

TEST_CASE("a source that fails in the middle is told, and the instrument still answers") {
  test::Script script;
  script.fails = true;
  Live instrument({.kind = SourceKind::microphone}, std::make_unique<test::ScriptedSource>(script, 48000.0));
  State state;
  watch(instrument, state, [](const State& s) { return !s.source.trouble.empty(); });
  CHECK(state.source.trouble == "the disk caught fire");
  CHECK_FALSE(state.source.running);
  live::CutCard card;
  card.flutes = 2;
  CHECK(instrument.send(live::ChangeCard{card}));
  watch(instrument, state, [](const State& s) { return s.card.flutes == 2; });
  CHECK(state.card.flutes == 2);
}

TEST_CASE("a bad card is refused before anything starts") {
  CHECK_THROWS_AS(Live({.card = card_of(1, 4)}, rig_source()), std::invalid_argument);
  CHECK_THROWS_AS(Live({.card = card_of(6000, 0)}, rig_source()), std::invalid_argument);
}

TEST_CASE("a rate of states that makes no sense is refused") {
  for (const double wrong : {0.0, -1.0, 1e9, std::nan("")}) {
    CHECK_THROWS_AS(Live({.card = card_of(6800, 4), .states_per_s = wrong}, rig_source()), std::invalid_argument);
  }
}

TEST_CASE("starting and stopping again and again leaves nothing hanging") {
  for (int i = 0; i < 20; ++i) Live instrument({.card = card_of(6800, 4)}, rig_source());
  SUCCEED("all stopped");
}
