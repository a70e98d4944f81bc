// A tap test that runs: steps, taps counted as they come, modes, keeping. The clock is the test's; all data are
// invented.
#include "live/tap_desk.hpp"

#include <chrono>
#include <cmath>

#include "scripted_source.hpp"
#include "setup/taps.hpp"
#include "support/catch.hpp"
#include "support/tapped.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using namespace hushmill::live;

TEST_CASE("taps are counted and measured as they come, and kept for what was tapped") {
  test::TappedThing thing;
  thing.duration_s = 7;
  thing.modes = {{1180, 0.018, 1}};
  thing.hits = {{2.5, 1}, {3.6, 0.9}, {4.7, 1.1}};
  thing.noise_below_db = 30;
  test::Script script;
  script.sound = test::make_tapped(thing, 1).samples;
  script.ended = true;
  const test::TemporaryFolder folder;
  const auto file = folder / "setup.toml";
  TapDesk desk({.on = setup::TappedOn::part, .file = file}, std::make_unique<test::ScriptedSource>(script, 48000), {});
  TapState state;
  const auto hear = [&](int pieces) {
    for (int i = 0; i < pieces; ++i) desk.step({});
    desk.fill(state);
  };
  hear(5);
  CHECK(state.step == TapStep::cautions);
  CHECK(state.heard_s == 0);  // nothing counts before the cautions were heeded
  script.at = 0;
  desk.apply(StartTaps{});
  hear(20);
  CHECK(state.step == TapStep::room);
  CHECK_THAT(state.room_s, test::WithinAbs(1, 0.06));
  desk.apply(KeepTaps{});
  hear(30);
  CHECK(state.news.find("no mode") != std::string::npos);
  CHECK(state.step == TapStep::tapping);
  hear(120);
  CHECK(state.findings.tap_s.size() == 3);
  CHECK(state.taps_in_modes == 3);
  CHECK_FALSE(state.ring.empty());
  REQUIRE(state.findings.modes.size() == 1);
  CHECK_THAT(state.findings.modes[0].natural_hz, test::WithinRel(1180.0, 0.002));
  CHECK_FALSE(state.running);
  desk.apply(KeepTaps{});
  hear(1);
  CHECK(state.kept[1].size() == 1);
  const auto kept = setup::load_taps(file);
  REQUIRE(kept.size() == 1);
  CHECK(kept[0].on == setup::TappedOn::part);
  desk.apply(TapOn{setup::TappedOn::tool});
  hear(1);
  CHECK(state.step == TapStep::cautions);  // somebody reaches in again
  CHECK(state.findings.modes.empty());
}

TEST_CASE("the step of quiet listens: a voice or a dead input begins it again, a steady hum does not") {
  const auto after_room = [](double hum, double burst) {
    test::Script script;
    script.sound.resize(48000 * 5 / 2);
    for (std::size_t i = 0; i < script.sound.size(); ++i) {
      const double t_s = static_cast<double>(i) / 48000;
      const bool speaks = std::fmod(t_s, 0.5) < 0.2;
      script.sound[i] = static_cast<float>((hum + (speaks ? burst : 0)) * std::sin(1000 * t_s));
    }
    script.ended = true;
    TapDesk desk({.heeded = true}, std::make_unique<test::ScriptedSource>(script, 48000), {});
    for (int i = 0; i < 45; ++i) desk.step({});
    TapState state;
    desk.fill(state);
    return state;
  };
  CHECK(after_room(0.01, 0).step == TapStep::tapping);
  const TapState voice = after_room(0.001, 0.1);
  CHECK(voice.step == TapStep::room);
  CHECK(voice.room_s < 0.5);
  CHECK(voice.news.find("not quiet") != std::string::npos);
  const TapState dead = after_room(0, 0);
  CHECK(dead.step == TapStep::room);
  CHECK(dead.news.find("wrong input, or muted") != std::string::npos);
}
