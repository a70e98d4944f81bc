// What a person changes in a replay, which of two channels is replayed, and recordings that a kill left open. Sounds are made here.
#include <chrono>
#include <cmath>
#include <filesystem>
#include <numbers>
#include <span>
#include <thread>

#include "journal/journal.hpp"
#include "journal/sha256.hpp"
#include "live/close_broken_off.hpp"
#include "live/listened_channel.hpp"
#include "live/replay.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "support/chance.hpp"
#include "support/temporary_folder.hpp"
#include "support/wav.hpp"

using namespace hushmill;

namespace {

constexpr int kRate = 24000;
constexpr int kRigRate = 48000;
constexpr double kTurnedAtS = 5;

/// Simulated: air, from 2 s on a quiet cut at 6800 rev/min; then the knob is turned to 6000.
std::vector<float> turned_to_6000(double length_s) {
  auto scene = rig::bracket_wall();
  auto controls = scene.start;
  scene.start.in_cut = false;
  rig::Rig machine(scene);
  std::vector<float> sound(static_cast<std::size_t>(length_s * kRigRate));
  std::size_t done = 0;
  const auto until = [&](double t_s) {
    const auto end = std::min(sound.size(), static_cast<std::size_t>(t_s * kRigRate));
    machine.process(std::span(sound).subspan(done, end - done));
    done = end;
  };
  until(2);
  machine.turn(controls);
  until(kTurnedAtS);
  controls.spindle_rpm = 6000;
  machine.turn(controls);
  until(length_s);
  return sound;
}

/// Noise of a room, and eight harmonics of four teeth at 6800 rev/min from 2 s on.
std::vector<float> teeth(double length_s) {
  test::Chance chance(5);
  std::vector<float> sound(static_cast<std::size_t>(length_s * kRate));
  for (std::size_t i = 0; i < sound.size(); ++i) {
    const double t_s = static_cast<double>(i) / kRate;
    double sample = 2e-4 * chance.normal();
    if (t_s > 2)
      for (int k = 1; k <= 8; ++k) sample += 0.1 / k * std::sin(2 * std::numbers::pi * 4 * k * 6800 / 60 * t_s + k);
    sound[i] = static_cast<float>(sample);
  }
  return sound;
}

live::ReplayView wait_for(const live::Replay& replay, std::uint64_t hearing) {
  live::State state;
  live::ReplayView view;
  for (int i = 0; i < 6000; ++i) {
    replay.look(state, view);
    if (view.all_heard && view.hearing >= hearing) return view;
    std::this_thread::sleep_for(std::chrono::milliseconds(10));
  }
  FAIL("the replay never came to its end");
  return view;
}

}  // namespace

TEST_CASE("in a replay, what the sound fits is taken from the moment since which it does, even at the end of the recording") {
  const test::TemporaryFolder folder;
  test::write_bytes(folder / "turned.wav", test::float_wav(kRigRate, 1, turned_to_6000(9)));
  live::CutCard card;
  card.programmed_rpm = 6800;
  live::ReplaySubject subject;
  subject.files = {folder / "turned.wav"};
  subject.card = card;
  live::Replay replay(subject);
  const auto view = wait_for(replay, 1);
  replay.seek(view.length_s);
  live::State state;
  live::ReplayView seen;
  REQUIRE(replay.look(state, seen));
  REQUIRE(state.other_fit);
  CHECK(std::abs(state.other_fit->spindle_rpm - 6000) < 30);

  replay.change(live::TakeHeard{});
  wait_for(replay, 2);
  REQUIRE(replay.look(state, seen));
  CHECK_FALSE(state.other_fit);
  CHECK(std::abs(state.card.entered_rpm() - 6000) < 30);
  REQUIRE(state.trials.size() == 2);
  CHECK(state.trials[1].from_s > kTurnedAtS - 0.1);
  CHECK(state.trials[1].from_s < kTurnedAtS + 3.5);
  CHECK(state.trials[1].believed());
}

TEST_CASE("a file of two channels is replayed as it was listened to") {
  CHECK(live::listened_channel("--rpm 6000 --channel right --flutes 4") == capture::Channel::right);
  CHECK(live::listened_channel("--rpm 6000") == capture::Channel::mix);
  const test::TemporaryFolder folder;
  const auto left = teeth(4);
  std::vector<float> both;
  for (const float sample : left) both.insert(both.end(), {sample, 0.0F});
  test::write_bytes(folder / "left.wav", test::float_wav(kRate, 2, both));
  for (const auto channel : {capture::Channel::left, capture::Channel::right}) {
    live::ReplaySubject subject;
    subject.files = {folder / "left.wav"};
    subject.card.programmed_rpm = 6800;
    subject.channel = channel;
    live::Replay replay(subject);
    replay.seek(wait_for(replay, 1).length_s);
    live::State state;
    live::ReplayView seen;
    REQUIRE(replay.look(state, seen));
    const bool warned = std::find(state.warnings.begin(), state.warnings.end(), listen::Warning::one_sided) != state.warnings.end();
    CHECK((state.snapshot.verdict == listen::Verdict::steady) == (channel == capture::Channel::left));
    CHECK(warned == (channel == capture::Channel::right));
  }
}

TEST_CASE("a recording that a kill left open is closed when nobody writes to it any more") {
  const test::TemporaryFolder folder;
  std::filesystem::create_directory(folder / "recordings");
  test::write_bytes(folder / "recordings/a.wav", test::float_wav(kRate, 1, std::vector<float>(kRate, 0.1F)));
  {
    journal::Journal journal(folder.path());
    journal::SessionRow session;
    session.started_utc = "2026-11-26T09:15:00.000Z";
    session.source_kind = session.source = "microphone";
    session.sample_rate_hz = kRate;
    journal.add(journal.begin_session(session), journal::RecordingRow{.path = "recordings/a.wav", .kind = "session", .sample_rate_hz = kRate});
  }
  CHECK(live::close_broken_off(folder.path()) == 0);  // just written: a session may be on
  std::filesystem::last_write_time(folder / "recordings/a.wav", std::filesystem::file_time_type::clock::now() - std::chrono::hours(1));
  CHECK(live::close_broken_off(folder.path()) == 1);
  const auto closed = journal::Journal(folder.path()).recordings().front();
  CHECK(closed.sha256 == journal::sha256_of(folder / "recordings/a.wav"));
  CHECK(closed.to_s == 1.0);
  CHECK(closed.bytes == static_cast<std::int64_t>(std::filesystem::file_size(folder / "recordings/a.wav")));
  CHECK(live::close_broken_off(folder.path()) == 0);
}
