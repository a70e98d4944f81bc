// The numbers behind the report's pictures.
#include "report/sound_pictures.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {

/// Silence until `from_s`, then a sine of half full scale.
report::EpisodeSound sine(double hz, double from_s, double length_s) {
  report::EpisodeSound sound;
  sound.sample_rate_hz = 48000;
  sound.from_s = 10;
  sound.alert_s = 10 + from_s;
  sound.chatter_hz = hz;
  sound.tooth_hz = 400;
  for (int i = 0; i < static_cast<int>(length_s * 48000); ++i) {
    const double t_s = i / 48000.0;
    sound.samples.push_back(t_s < from_s ? 0.0f : static_cast<float>(0.5 * std::sin(2 * std::numbers::pi * hz * t_s)));
  }
  return sound;
}

}  // namespace

TEST_CASE("the spectrum shows a sine at its frequency and its level") {
  const auto curve = report::spectrum_of(sine(1370, 1, 3));
  REQUIRE_FALSE(curve.dbfs.empty());
  const auto loudest = std::max_element(curve.dbfs.begin(), curve.dbfs.end());
  CHECK_THAT(static_cast<double>(loudest - curve.dbfs.begin()) * curve.bin_hz, WithinAbs(1370, curve.bin_hz));
  CHECK_THAT(*loudest, WithinAbs(-6.02, 1.5));  // half of full scale; a Hann window loses up to 1.42 dB between bins (Harris 1978)
}

TEST_CASE("a picture of what is no sound has an end at the top") {
  auto sound = sine(1370, 0, 3);
  sound.samples[60000] = std::numeric_limits<float>::infinity();
  sound.samples[70000] = std::numeric_limits<float>::quiet_NaN();
  sound.samples[80000] = 3e38F;
  const auto curve = report::spectrum_of(sound);
  REQUIRE_FALSE(curve.dbfs.empty());
  for (const double db : curve.dbfs) REQUIRE(std::isfinite(db));
  CHECK_FALSE(report::spectrogram_of(sound, 5000, 40, 20).darkness.empty());
}

TEST_CASE("the spectrogram is white before the tone and black on it, at the right height") {
  const auto image = report::spectrogram_of(sine(1000, 1, 2), 4000, 100, 80);
  REQUIRE(image.columns == 100);
  REQUIRE(image.darkness.size() == 8000);
  const auto dark = [&](int x, int y) { return static_cast<int>(image.darkness[static_cast<std::size_t>(y * 100 + x)]); };
  int blackest = 0;
  for (int y = 0; y < 80; ++y) {
    CHECK(dark(10, y) == 0);
    if (dark(80, y) > dark(80, blackest)) blackest = y;
  }
  CHECK(dark(80, blackest) == 255);
  CHECK(std::abs(blackest - 59) <= 1);  // 1000 Hz of 4000 lies a quarter from below: row 59 of 80
  CHECK(dark(80, 10) == 0);
}

TEST_CASE("too little sound gives no picture instead of a wrong one") {
  report::EpisodeSound sound = sine(1000, 0, 0.01);
  CHECK(report::spectrum_of(sound).dbfs.empty());
  CHECK(report::spectrogram_of(sound, 4000, 100, 80).columns == 0);
  CHECK(report::spectrum_of({}).dbfs.empty());
}

TEST_CASE("pictures go high enough for the chatter and its neighbours, and never past half the rate") {
  CHECK(report::top_hz(sine(1370, 0, 0.1)) == 5000);
  auto sound = sine(9000, 0, 0.1);
  CHECK(report::top_hz(sound) == 24000);
}
