// Kinds of sound file that the project reads and does not write: made here with libsndfile itself.
#include <sndfile.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "capture/errors.hpp"
#include "capture/recording.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using capture::Channel;
using capture::Recording;

namespace {

constexpr double kToneHz = 1000;
constexpr std::size_t kFrames = 48000;

/// One second at 48 kHz with the tone on the first channel, half as loud on the second, silence on all others.
void write_foreign(const std::filesystem::path& file, int format, int channels, int rate_hz = 48000) {
  SF_INFO info{};
  info.samplerate = rate_hz;
  info.channels = channels;
  info.format = format;
  SNDFILE* out = sf_open(file.string().c_str(), SFM_WRITE, &info);
  REQUIRE(out != nullptr);
  std::vector<float> sound(kFrames * static_cast<std::size_t>(channels));
  for (std::size_t i = 0; i < kFrames; ++i) {
    const double turn = 2 * std::numbers::pi * kToneHz * static_cast<double>(i) / 48000;
    float* frame = &sound[i * static_cast<std::size_t>(channels)];
    frame[0] = static_cast<float>(0.5 * std::sin(turn));
    if (channels > 1) frame[1] = static_cast<float>(0.25 * std::sin(turn));
  }
  CHECK(sf_writef_float(out, sound.data(), static_cast<sf_count_t>(kFrames)) == static_cast<sf_count_t>(kFrames));
  sf_close(out);
}

/// Amplitude of the tone, over the middle of the file.
double amplitude(Recording& recording) {
  std::vector<float> sound(2 * kFrames);
  const std::size_t samples = recording.read(sound);
  CHECK(samples == kFrames);
  double re = 0;
  double im = 0;
  for (std::size_t i = 9600; i < 38400; ++i) {
    const double turn = 2 * std::numbers::pi * kToneHz * static_cast<double>(i) / 48000;
    re += static_cast<double>(sound[i]) * std::cos(turn);
    im += static_cast<double>(sound[i]) * std::sin(turn);
  }
  return std::hypot(re, im) / 14400;
}

std::string refusal(const std::filesystem::path& file) {
  try {
    const Recording recording(file);
  } catch (const capture::BadInput& bad) {
    return bad.what();
  }
  return "taken";
}

}  // namespace

TEST_CASE("AIFF, OGG Vorbis, OGG Opus, 64-bit WAV and 8-bit WAV are read at the right level, each channel by itself") {
  struct Kind {
    const char* name;
    int format;
    double tolerance;  // of a coded sound
  };
  const test::TemporaryFolder folder;
  for (const Kind& kind :
       {Kind{"a.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16, 1e-4}, Kind{"b.aif", SF_FORMAT_AIFF | SF_FORMAT_FLOAT, 1e-6},
        Kind{"c.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 0.02}, Kind{"d.opus", SF_FORMAT_OGG | SF_FORMAT_OPUS, 0.02},
        Kind{"e.w64", SF_FORMAT_W64 | SF_FORMAT_PCM_24, 1e-6}, Kind{"f.wav", SF_FORMAT_RF64 | SF_FORMAT_PCM_24, 1e-6},
        Kind{"g.wav", SF_FORMAT_WAVEX | SF_FORMAT_PCM_32, 1e-6}, Kind{"h.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_U8, 5e-3},
        Kind{"i.wav", SF_FORMAT_WAV | SF_FORMAT_DOUBLE, 1e-6}}) {
    CAPTURE(kind.name);
    write_foreign(folder / kind.name, kind.format, 2);
    const std::pair<Channel, double> choices[] = {{Channel::left, 0.5}, {Channel::right, 0.25}, {Channel::mix, 0.375}};
    for (const auto& [channel, expected] : choices) {
      Recording recording(folder / kind.name, channel);
      CHECK(recording.channels() == 2);
      CHECK(recording.sample_rate_hz() == 48000);
      CHECK_THAT(amplitude(recording), test::WithinAbs(expected, kind.tolerance));
      std::vector<float> more(10);
      CHECK(recording.read(more) == 0);
      CHECK(recording.ended());
      CHECK(recording.trouble().empty());
    }
  }
}

TEST_CASE("more than two channels, a low rate and kinds that are not listened to are refused by name") {
  const test::TemporaryFolder folder;
  write_foreign(folder / "six.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16, 6);
  CHECK(refusal(folder / "six.wav").find("has 6 channels; 1 or 2 would be right") != std::string::npos);
  write_foreign(folder / "low.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 1, 11025);
  CHECK(refusal(folder / "low.ogg").find("11025 Hz; 16000 to 192000 Hz would be right") != std::string::npos);
  write_foreign(folder / "old.au", SF_FORMAT_AU | SF_FORMAT_PCM_16, 1);
  CHECK(refusal(folder / "old.au").find("is of kind") != std::string::npos);
}

TEST_CASE("an OGG recording that breaks off is read as far as it goes, and says so") {
  const test::TemporaryFolder folder;
  write_foreign(folder / "half.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 1);
  auto bytes = test::file_bytes(folder / "half.ogg");
  bytes.resize(bytes.size() * 2 / 3);
  test::write_bytes(folder / "half.ogg", bytes);
  std::string told;
  std::size_t samples = 0;
  try {
    Recording recording(folder / "half.ogg");
    std::vector<float> piece(1000);
    while (!recording.ended()) samples += recording.read(piece);
    told = recording.trouble();
  } catch (const capture::BadInput& bad) {
    told = bad.what();  // short enough that nothing whole was left
  }
  CHECK(samples < kFrames);
  CHECK(told.find("half.ogg") != std::string::npos);
  CHECK(told.ends_with("would be right"));
}
