// Recordings are written by the project's own writer, so what comes back is known sample by sample.
#include "capture/recording.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "capture/errors.hpp"
#include "capture/recording_writer.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using capture::Channel;
using capture::Recording;
using capture::RecordingFormat;
using capture::RecordingWriter;
using capture::SampleDepth;

namespace {

std::vector<float> tone(double hz, double rate_hz, std::size_t samples, double amplitude) {
  std::vector<float> out(samples);
  for (std::size_t i = 0; i < samples; ++i) {
    out[i] = static_cast<float>(amplitude * std::sin(2 * std::numbers::pi * hz * static_cast<double>(i) / rate_hz));
  }
  return out;
}

void write_file(const std::filesystem::path& file, const RecordingFormat& format, const std::vector<float>& samples) {
  RecordingWriter writer(file, format);
  writer.write(samples);
  writer.close();
}

std::vector<float> read_all(Recording& recording, std::size_t block) {
  std::vector<float> all;
  std::vector<float> piece(block);
  while (!recording.ended()) {
    const std::size_t got = recording.read(piece);
    all.insert(all.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(got));
  }
  return all;
}

double worst_difference(const std::vector<float>& a, const std::vector<float>& b) {
  double worst = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    worst = std::max(worst, std::abs(static_cast<double>(a[i]) - static_cast<double>(b[i])));
  }
  return worst;
}

}  // namespace

TEST_CASE("what was written to WAV or FLAC comes back to the last bit of its depth") {
  const test::TemporaryFolder folder;
  const auto sound = tone(997, 48000, 30000, 0.7);
  struct Kind {
    const char* name;
    SampleDepth depth;
    double step;
  };
  for (const Kind& kind :
       {Kind{"a.wav", SampleDepth::bits16, 1.0 / 32767}, Kind{"b.wav", SampleDepth::bits24, 1.0 / 8388607},
        Kind{"c.wav", SampleDepth::bits32, 0}, Kind{"d.flac", SampleDepth::bits16, 1.0 / 32767},
        Kind{"E.FLAC", SampleDepth::bits24, 1.0 / 8388607}}) {
    CAPTURE(kind.name);
    write_file(folder / kind.name, {.sample_rate_hz = 48000, .depth = kind.depth}, sound);
    Recording recording(folder / kind.name);
    CHECK(recording.sample_rate_hz() == 48000);
    CHECK(recording.channels() == 1);
    CHECK(recording.name() == kind.name);
    CHECK(recording.stated_samples() == 30000U);
    const auto back = read_all(recording, 1000);
    REQUIRE(back.size() == sound.size());
    CHECK(recording.samples_read() == 30000U);
    // Half a step of rounding, and one more because writing scales by 2^n − 1 and reading by 2^n.
    CHECK(worst_difference(back, sound) <= 1.6 * kind.step);
    CHECK(recording.trouble().empty());
    CHECK(recording.lost_samples() == 0);
  }
}

TEST_CASE("the pieces in which a recording is read do not change it") {
  const test::TemporaryFolder folder;
  write_file(folder / "a.flac", {.sample_rate_hz = 44100}, tone(440, 44100, 10007, 0.5));
  Recording whole(folder / "a.flac");
  const auto expected = read_all(whole, 20000);
  REQUIRE(expected.size() == 10007);
  for (const std::size_t block : {1U, 7U, 64U, 4095U, 4096U, 4097U}) {
    CAPTURE(block);
    Recording recording(folder / "a.flac");
    CHECK(read_all(recording, block) == expected);
  }
}

TEST_CASE("each channel of a stereo recording can be chosen, and the mean of both") {
  const test::TemporaryFolder folder;
  const auto left = tone(500, 48000, 9000, 0.5);
  const auto right = tone(900, 48000, 9000, 0.25);
  std::vector<float> both;
  std::vector<float> mean;
  for (std::size_t i = 0; i < left.size(); ++i) {
    both.insert(both.end(), {left[i], right[i]});
    mean.push_back(0.5f * (left[i] + right[i]));
  }
  write_file(folder / "s.wav", {.sample_rate_hz = 48000, .channels = 2, .depth = SampleDepth::bits32}, both);
  Recording a(folder / "s.wav", Channel::left);
  Recording b(folder / "s.wav", Channel::right);
  Recording c(folder / "s.wav", Channel::mix);
  CHECK(a.channels() == 2);
  CHECK(a.stated_samples() == 9000U);
  CHECK(read_all(a, 333) == left);
  CHECK(read_all(b, 333) == right);
  CHECK(read_all(c, 333) == mean);
}

TEST_CASE("a comment travels inside the file") {
  const test::TemporaryFolder folder;
  for (const char* name : {"a.wav", "a.flac"}) {
    CAPTURE(name);
    write_file(folder / name, {.comment = "simulated, seed 7"}, tone(500, 48000, 100, 0.5));
    CHECK(Recording(folder / name).comment() == "simulated, seed 7");
  }
  write_file(folder / "b.wav", {}, tone(500, 48000, 100, 0.5));
  CHECK(Recording(folder / "b.wav").comment().empty());
}

TEST_CASE("both edges of the listened sample rates are taken") {
  const test::TemporaryFolder folder;
  for (const double rate_hz : {16000.0, 192000.0}) {
    write_file(folder / "r.wav", {.sample_rate_hz = rate_hz}, tone(500, rate_hz, 400, 0.5));
    CHECK(Recording(folder / "r.wav").sample_rate_hz() == rate_hz);
  }
}
