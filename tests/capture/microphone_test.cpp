// The microphone on a real sound server: what was played is what arrives, to the last sample.
#include "capture/microphone.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>
#include <random>
#include <thread>
#include <vector>

#include "capture/audio_device.hpp"
#include "capture/errors.hpp"
#include "capture/loudspeaker.hpp"
#include "capture/recording_writer.hpp"
#include "support/catch.hpp"
#include "support/errors_to_file.hpp"
#include "support/sound_server.hpp"

using namespace hushmill;
using capture::Microphone;
using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;
using std::chrono::seconds;

namespace {

constexpr double kRateHz = 48000;
constexpr double kToneHz = 1250;

/// A tone with a little noise, so that no stretch of it looks like another.
std::vector<float> tone_with_noise(double duration_s) {
  std::mt19937 random(5);
  std::vector<float> sound(static_cast<std::size_t>(duration_s * kRateHz));
  for (std::size_t i = 0; i < sound.size(); ++i) {
    const double noise = static_cast<double>(random()) / 4294967296.0 - 0.5;
    sound[i] = static_cast<float>(0.4 * std::sin(2 * std::numbers::pi * kToneHz * static_cast<double>(i) / kRateHz) +
                                  0.02 * noise);
  }
  return sound;
}

/// With a second of silence before it: a sound server may drop the first samples while it changes from silence to a
/// stream (it throws away silence that it had prepared), and that is no fault of the microphone.
void write_sound(const std::filesystem::path& file, const std::vector<float>& sound) {
  capture::RecordingWriter writer(file, {.sample_rate_hz = kRateHz, .depth = capture::SampleDepth::bits32});
  writer.write(std::vector<float>(static_cast<std::size_t>(kRateHz), 0.0f));
  writer.write(sound);
  writer.close();
}

/// Reads for as long as `go_on` says, at most 30 s.
std::vector<float> listen(Microphone& microphone, const std::function<bool(const std::vector<float>&)>& go_on) {
  std::vector<float> heard;
  std::vector<float> piece(1000);
  const auto until = Clock::now() + seconds(30);
  while (go_on(heard) && Clock::now() < until) {
    const std::size_t got = microphone.read(piece);
    heard.insert(heard.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(got));
    if (got == 0) std::this_thread::sleep_for(milliseconds(3));
  }
  return heard;
}

bool comes_back(Microphone& microphone) {
  const auto until = Clock::now() + seconds(15);
  while (!microphone.reopen() && Clock::now() < until) std::this_thread::sleep_for(milliseconds(100));
  return !microphone.ended();
}

std::size_t first_loud(const std::vector<float>& sound) {
  return static_cast<std::size_t>(
      std::find_if(sound.begin(), sound.end(), [](float x) { return std::abs(x) > 1e-4f; }) - sound.begin());
}

/// Root mean square, and the strongest frequency by counting the phase of the tone through the middle of the sound.
struct Tone {
  double rms = 0;
  double hz = 0;
};
Tone measure(const std::vector<float>& sound) {
  double power = 0;
  const auto phase_at = [&](std::size_t from, std::size_t count) {
    double re = 0;
    double im = 0;
    for (std::size_t i = from; i < from + count; ++i) {
      const double turn = 2 * std::numbers::pi * kToneHz * static_cast<double>(i) / kRateHz;
      re += static_cast<double>(sound[i]) * std::cos(turn);
      im += static_cast<double>(sound[i]) * std::sin(turn);
    }
    return std::atan2(re, im);
  };
  for (const float x : sound) power += static_cast<double>(x) * static_cast<double>(x);
  const std::size_t window = 4800;
  const double turned =
      std::remainder(phase_at(sound.size() - window, window) - phase_at(0, window), 2 * std::numbers::pi);
  const double apart_s = static_cast<double>(sound.size() - window) / kRateHz;
  return {std::sqrt(power / static_cast<double>(sound.size())), kToneHz + turned / (2 * std::numbers::pi * apart_s)};
}

}  // namespace

TEST_CASE("what is played into the sound server arrives at the microphone, sample for sample") {
  test::SoundServer server;
  server.use_here();
  const test::TemporaryFolder folder;
  const auto played = tone_with_noise(4);
  write_sound(folder / "tone.wav", played);

  Microphone microphone({.device = test::SoundServer::kMicrophone, .sample_rate_hz = kRateHz});
  CHECK(microphone.name() == test::SoundServer::kMicrophone);
  REQUIRE(microphone.sample_rate_hz() == kRateHz);
  const auto quiet = listen(microphone, [](const auto& heard) { return heard.empty(); });
  REQUIRE_FALSE(quiet.empty());
  CHECK(first_loud(quiet) == quiet.size());

  auto player = server.play(folder / "tone.wav");
  const auto heard =
      listen(microphone, [&](const auto& so_far) { return so_far.size() < first_loud(so_far) + played.size() + 4800; });
  CHECK(player.wait(seconds(10)) == 0);
  CHECK(microphone.lost_samples() == 0);
  CHECK(microphone.trouble().empty());
  CHECK_FALSE(microphone.ended());

  const std::size_t start = first_loud(heard);
  REQUIRE(heard.size() >= start + played.size());
  // Sample 0 of a sine is nothing but noise, maybe too quiet to be taken for the start: the loudest match decides.
  const std::size_t skipped = first_loud(played);
  std::size_t wrong = 0;
  for (std::size_t i = skipped; i < played.size(); ++i) {
    if (std::abs(heard[start - skipped + i] - played[i]) > 1e-6f) ++wrong;
  }
  CHECK(wrong == 0);

  // And said in the trade's terms: the level and the frequency of the tone.
  const auto from = heard.begin() + static_cast<std::ptrdiff_t>(start);
  const Tone tone = measure(std::vector<float>(from, from + static_cast<std::ptrdiff_t>(played.size() - skipped)));
  CHECK_THAT(20 * std::log10(tone.rms * std::numbers::sqrt2 / 0.4), test::WithinAbs(0.0, 0.05));
  CHECK_THAT(tone.hz, test::WithinAbs(kToneHz, 0.01));
}

TEST_CASE("a sound server that goes away is a device that is gone, and listening goes on when it comes back") {
  test::SoundServer server;
  server.use_here();
  Microphone microphone({.device = test::SoundServer::kMicrophone, .sample_rate_hz = kRateHz});
  REQUIRE_FALSE(listen(microphone, [](const auto& heard) { return heard.empty(); }).empty());

  const test::ErrorsToFile errors;
  server.stop();
  const auto stopped = Clock::now();
  listen(microphone, [&](const auto&) { return !microphone.ended() && Clock::now() < stopped + seconds(10); });
  CHECK(microphone.ended());
  CHECK(microphone.trouble().find("microphone 'bench_microphone'") == 0);
  CHECK(microphone.trouble().find("would be right") != std::string::npos);
  CHECK_FALSE(microphone.reopen());
  CHECK(microphone.ended());

  std::this_thread::sleep_for(milliseconds(300));
  server.start();
  REQUIRE(comes_back(microphone));
  CHECK_FALSE(microphone.ended());
  CHECK(microphone.trouble().empty());
  CHECK(microphone.sample_rate_hz() == kRateHz);
  CHECK_FALSE(listen(microphone, [](const auto& heard) { return heard.empty(); }).empty());
#ifdef __GLIBC__
  CHECK(errors.text().empty());  // ALSA, JACK and PortAudio had much to say; nobody heard it
#endif
  // The outage counts as lost sound: by the clock, so only roughly.
  const double outage_s = static_cast<double>(microphone.lost_samples()) / kRateHz;
  CHECK(outage_s > 0.3);
  CHECK(outage_s < std::chrono::duration<double>(Clock::now() - stopped).count() + 2.5);
}

TEST_CASE("a device that falls asleep is told from one that is quiet, and its sleep is one dated gap") {
  test::SoundServer server;
  server.use_here();
  Microphone microphone({.device = test::SoundServer::kMicrophone, .sample_rate_hz = kRateHz});
  const auto start = Clock::now();
  const auto heard = listen(microphone, [&](const auto& so_far) { return so_far.size() < 48000; });
  CHECK_FALSE(microphone.ended());  // silence is sound, too

  server.suspend(true);
  const auto asleep = Clock::now();
  const auto rest =
      listen(microphone, [&](const auto&) { return !microphone.ended() && Clock::now() < asleep + seconds(10); });
  REQUIRE(microphone.ended());
  CHECK(microphone.trouble().find("delivers no sound") != std::string::npos);
  CHECK_FALSE(microphone.reopen());
  server.suspend(false);
  REQUIRE(comes_back(microphone));
  const double asleep_s = std::chrono::duration<double>(Clock::now() - asleep).count();

  const auto gap = microphone.take_gap();
  REQUIRE(gap);
  CHECK(gap->before_sample == heard.size() + rest.size());
  CHECK(gap->samples == microphone.lost_samples());
  CHECK(static_cast<double>(gap->samples) / kRateHz > 1.5);
  CHECK(static_cast<double>(gap->samples) / kRateHz < asleep_s + 0.5);
  CHECK_FALSE(listen(microphone, [](const auto& more) { return more.empty(); }).empty());
  // All in all as much sound as time, within what a device may hold back.
  const double sound_s = static_cast<double>(heard.size() + rest.size() + gap->samples) / kRateHz;
  CHECK(sound_s < std::chrono::duration<double>(Clock::now() - start).count() + 2.5);
}

TEST_CASE("a listener that is late loses sound, and all of it is counted and marked") {
  test::SoundServer server;
  server.use_here();
  Microphone microphone({.device = test::SoundServer::kMicrophone, .sample_rate_hz = kRateHz, .held_back_s = 0.1});
  std::size_t read = 0;
  std::uint64_t marked = 0;
  bool marks_in_place = true;
  const auto read_until = [&](const std::function<bool()>& enough) {
    std::vector<float> piece(1000);
    const auto until = Clock::now() + seconds(20);
    while (!enough() && Clock::now() < until) {
      read += microphone.read(piece);
      if (const auto gap = microphone.take_gap()) {
        marked += gap->samples;
        marks_in_place = marks_in_place && gap->before_sample == read;
      }
    }
  };
  read_until([&] { return read > 24000; });
  const auto lost_before = microphone.lost_samples();
  const auto marked_before = marked;
  std::this_thread::sleep_for(milliseconds(800));  // seven tenths of a second more than is held back
  const auto lost_asleep = static_cast<double>(microphone.lost_samples() - lost_before) / kRateHz;
  CHECK(lost_asleep > 0.3);
  const auto read_before = read;
  read_until([&] { return read > read_before + 24000; });
  CHECK(static_cast<double>(marked - marked_before) / kRateHz > 0.3);
  CHECK(marks_in_place);
  CHECK(marked <= microphone.lost_samples());
}

TEST_CASE("devices are listed, and a microphone that is not there is refused by name") {
  test::SoundServer server;
  server.use_here();
  const auto devices = capture::audio_devices();
  const auto& found = capture::pick_device(devices, "BENCH_MIC", capture::AudioDirection::input);
  CHECK(found.name == test::SoundServer::kMicrophone);
  CHECK(found.inputs >= 1);
  CHECK_THROWS_AS(Microphone({.device = "no such thing"}), capture::BadInput);
  CHECK_THROWS_AS(Microphone({.device = "bench"}), capture::BadInput);  // fits two
  CHECK_THROWS_AS(Microphone({.device = test::SoundServer::kMicrophone, .sample_rate_hz = 8000}), capture::BadInput);
  server.stop();
  CHECK_THROWS_AS(Microphone({.device = test::SoundServer::kMicrophone}), capture::OutsideFailed);
}

TEST_CASE("what the loudspeaker is given arrives at the sound server at the volume that was set") {
  test::SoundServer server;
  server.use_here();
  Microphone microphone({.device = test::SoundServer::kMicrophone, .sample_rate_hz = kRateHz});
  capture::Loudspeaker loudspeaker(kRateHz, test::SoundServer::kLoudspeaker);
  CHECK(loudspeaker.name() == test::SoundServer::kLoudspeaker);
  loudspeaker.set_volume(0.5);
  // In bursts that fit into its ring, so that a busy machine cannot tear them: 0.12 s of tone, three times a second.
  const auto burst = tone_with_noise(0.12);
  auto next = Clock::now();
  const auto heard = listen(microphone, [&](const auto& so_far) {
    if (Clock::now() >= next) {
      loudspeaker.push(burst);
      next = Clock::now() + milliseconds(333);
    }
    return so_far.size() < static_cast<std::size_t>(8 * kRateHz);
  });
  CHECK(loudspeaker.running());
  // 20 ms within a burst are at the right level, all others below it.
  constexpr std::size_t kPiece = 960;
  const double expected_db = 20 * std::log10(0.5 * 0.4);
  double highest_db = -200;
  int whole_pieces = 0;
  for (std::size_t at = first_loud(heard) + 9600; at + kPiece <= heard.size(); at += kPiece) {
    double power = 0;
    for (std::size_t i = at; i < at + kPiece; ++i)
      power += static_cast<double>(heard[i]) * static_cast<double>(heard[i]);
    const double level_db = 10 * std::log10(2 * power / static_cast<double>(kPiece));
    highest_db = std::max(highest_db, level_db);
    if (std::abs(level_db - expected_db) < 0.1) ++whole_pieces;
  }
  CHECK_THAT(highest_db, test::WithinAbs(expected_db, 0.2));
  CHECK(whole_pieces >= 10);
}
