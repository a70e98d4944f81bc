// The whole way of the sound: a chattering cut played into a real sound server, heard by the microphone, told as a
// state.
#include <chrono>
#include <cmath>
#include <functional>
#include <thread>
#include <vector>

#include "capture/microphone.hpp"
#include "capture/recording.hpp"
#include "capture/recording_writer.hpp"
#include "listen/listener.hpp"
#include "live/live.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"
#include "support/sound_server.hpp"

using namespace hushmill;
using live::State;
using std::chrono::milliseconds;
using std::chrono::seconds;
using Clock = std::chrono::steady_clock;

namespace {

/// Two seconds of room, two of a quiet cut, three of the same cut too deep. Simulated.
void write_chattering_cut(const std::filesystem::path& file, const rig::RigSettings& settings) {
  rig::Rig machine(settings);
  rig::RigControls controls = settings.start;
  capture::RecordingWriter writer(file, {.comment = "simulated"});
  const auto cut_for = [&](double duration_s) {
    machine.turn(controls);
    std::vector<float> sound(static_cast<std::size_t>(duration_s * settings.sample_rate_hz));
    machine.process(sound);
    writer.write(sound);
  };
  controls.in_cut = false;
  cut_for(2);
  controls.in_cut = true;
  cut_for(2);
  controls.depth_mm = 3;
  cut_for(3);
  writer.close();
}

/// What the listener makes of the file itself.
listen::Findings heard_in_file(const std::filesystem::path& file, double spindle_rpm, int flutes) {
  capture::Recording recording(file);
  listen::Listener listener({recording.sample_rate_hz(), spindle_rpm, flutes});
  std::vector<float> piece(4096);
  while (!recording.ended()) listener.process(std::span(piece).first(recording.read(piece)));
  listener.finish();
  return listener.findings();
}

bool poll_until(live::Live& instrument, State& state, seconds at_most,
                const std::function<bool(const State&)>& enough) {
  const auto until = Clock::now() + at_most;
  while (Clock::now() < until) {
    if (instrument.poll(state) && enough(state)) return true;
    std::this_thread::sleep_for(milliseconds(5));
  }
  return false;
}

}  // namespace

TEST_CASE("chatter played into a sound server is raised by the running instrument, with advice") {
  const rig::RigSettings settings = rig::bracket_wall();
  const test::TemporaryFolder folder;
  const auto file = folder / "cut.wav";
  write_chattering_cut(file, settings);
  const double rpm = settings.start.spindle_rpm;
  const int flutes = settings.model.cutter.flutes;
  const listen::Findings expected = heard_in_file(file, rpm, flutes);
  REQUIRE_FALSE(expected.episodes.empty());

  test::SoundServer server;
  server.use_here();
  live::LiveSettings live_settings;
  live_settings.kind = live::SourceKind::microphone;
  live_settings.card.programmed_rpm = rpm;
  live_settings.card.flutes = flutes;
  live::Live instrument(live_settings, std::make_unique<capture::Microphone>(capture::MicrophoneSettings{
                                           .device = test::SoundServer::kMicrophone, .sample_rate_hz = 48000}));
  State state;
  REQUIRE(poll_until(instrument, state, seconds(10), [](const State& s) { return s.snapshot.t_s > 0.5; }));
  auto player = server.play(file);
  REQUIRE(poll_until(instrument, state, seconds(20), [](const State& s) {
    return s.episode_count > 0 && s.advice_ready && s.snapshot.t_s > s.episodes.back().alert_s + 1;
  }));
  CHECK(player.wait(seconds(20)) == 0);
  CHECK(state.source.name == test::SoundServer::kMicrophone);
  CHECK(state.source.lost_samples == 0);
  CHECK(state.source.trouble.empty());
  CHECK_THAT(state.episodes.back().chatter_hz, test::WithinRel(expected.episodes.back().chatter_hz, 0.005));
  CHECK((state.advice.lower || state.advice.higher));
  CHECK_THAT(state.snapshot.measured_rpm.value_or(0), test::WithinRel(rpm, 0.01));
}
