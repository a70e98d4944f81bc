#include "signal/lines.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "signal/decibel.hpp"
#include "signal/sines.hpp"
#include "signal/spectrum.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;

namespace {

constexpr std::size_t kLinesSize = 4096;
constexpr double kLinesRateHz = 48000;
constexpr double kBinHz = kLinesRateHz / kLinesSize;

// The lines of a sound over a flat background.
std::vector<signal::Line> lines_of(const std::vector<float>& sound, float background = 1e-9F,
                                   const signal::LineSettings& settings = {}) {
  signal::Spectrum spectrum(sound.size(), kLinesRateHz);
  spectrum.process(sound);
  const std::vector<float> floor(spectrum.power().size(), background);
  std::vector<signal::Line> lines;
  signal::find_lines(spectrum.power(), floor, spectrum.bin_hz(), settings, lines);
  return lines;
}

}  // namespace

TEST_CASE("a lone sine's frequency and level are exact wherever it lies between two bins") {
  for (double fraction = -0.5; fraction <= 0.5; fraction += 0.05) {
    for (const double phase : {0.0, 1.1, 2.9}) {
      INFO("fraction " << fraction << ", phase " << phase);
      const auto lines = lines_of(test::cosine(kLinesSize, 600 + fraction, 0.2, phase));
      REQUIRE(lines.size() == 1);
      CHECK_THAT(lines.front().hz / kBinHz, WithinAbs(600 + fraction, 1e-4));
      CHECK_THAT(signal::power_db(lines.front().power), WithinAbs(-13.9794, 0.002));
    }
  }
}

TEST_CASE("noise 20 dB below a sine moves its frequency far less than a bin") {
  // Both in the same bin: the sine stands 20 dB over what the noise puts into one bin.
  test::Chance chance(11);
  double squares = 0;
  constexpr int kTrials = 200;
  for (int trial = 0; trial < kTrials; ++trial) {
    const double bin = 400 + chance.uniform();
    auto sound = test::cosine(kLinesSize, bin, 0.1, chance.uniform(0, 6.28));
    // Noise of variance s² puts s²·4·1.5/N into each bin; 0.01·0.01 is asked for.
    test::add(sound, test::white_noise(kLinesSize, std::sqrt(1e-4 * kLinesSize / 6.0), chance.next()));
    const auto lines = lines_of(sound, 1e-4F);
    REQUIRE_FALSE(lines.empty());
    const double error = lines.front().hz / kBinHz - bin;
    squares += error * error / kTrials;
  }
  INFO("root mean square error in bins " << std::sqrt(squares));
  CHECK(std::sqrt(squares) < 0.1);
}

TEST_CASE("interpolation of three bins follows the transform of a Hann window") {
  // |W(d)| = |sin(pi·d)/(pi·d)| / |1 − d²|, exact.
  const auto amplitude = [](double d) {
    const double sinc = d == 0 ? 1 : std::sin(std::numbers::pi * d) / (std::numbers::pi * d);
    return std::abs(d) == 1 ? 0.5 : std::abs(sinc / (1 - d * d));
  };
  for (double d = -0.5; d <= 0.5; d += 0.0625) {
    const auto power = [&](double bins) { return 0.09 * std::pow(amplitude(bins - d), 2); };
    const auto exact = signal::interpolate_hann(power(-1.0), power(0.0), power(1.0), 50);
    INFO("offset " << d);
    CHECK_THAT(exact.bin, WithinAbs(50 + d, 1e-9));
    CHECK_THAT(exact.power, WithinAbs(0.09, 1e-9));
  }
  const auto nothing = signal::interpolate_hann(0, 0, 0, 50);
  CHECK(std::isfinite(nothing.bin));
  CHECK(nothing.power == 0);
}

TEST_CASE("two lines six bins apart are both found, each far less than a bin off") {
  auto sound = test::cosine(kLinesSize, 500.2, 0.1, 0.4);
  test::add(sound, test::cosine(kLinesSize, 506.4, 0.05, 2.0));
  const auto lines = lines_of(sound, 1e-7F);
  REQUIRE(lines.size() == 2);
  CHECK_THAT(lines[0].hz / kBinHz, WithinAbs(500.2, 0.05));
  CHECK_THAT(lines[1].hz / kBinHz, WithinAbs(506.4, 0.05));
}

TEST_CASE("lines on the skirt of a stronger one are left out") {
  SECTION("what a Hann window leaks from a sine between two bins") {
    // Sidelobes from the third bin on stand at −32 dB and lower; the background would let them pass.
    CHECK(lines_of(test::cosine(kLinesSize, 700.5, 1.0, 0.2), 1e-6F).size() == 1);
  }
  SECTION("a line that grows through the frame, as chatter does") {
    auto sound = test::cosine(kLinesSize, 700.3, 1.0, 0.2);
    for (std::size_t n = 0; n < kLinesSize; ++n)
      sound[n] *= static_cast<float>(std::exp(4.0 * (static_cast<double>(n) / kLinesSize - 1.0)));
    CHECK(lines_of(sound, 1e-4F).size() == 1);
  }
  SECTION("a weak maximum three bins off, 25 dB down") {
    std::vector<float> power(400, 1e-9F);
    power[99] = power[101] = 0.25F;
    power[100] = 1.0F;
    power[103] = 0.003F;
    const std::vector<float> background(power.size(), 1e-9F);
    std::vector<signal::Line> lines;
    signal::find_lines(power, background, 10.0, {}, lines);
    REQUIRE(lines.size() == 1);
    CHECK(lines.front().bin == 100);
  }
  SECTION("but a line of its own, 30 dB down and twenty bins off, stays") {
    auto sound = test::cosine(kLinesSize, 700.3, 0.5, 0.2);
    test::add(sound, test::cosine(kLinesSize, 720.1, 0.016, 1.2));
    const auto lines = lines_of(sound, 1e-6F);
    REQUIRE(lines.size() == 2);
    CHECK_THAT(lines[1].hz / kBinHz, WithinAbs(720.1, 0.05));
  }
}

TEST_CASE("lines come strongest first, no more than asked for and within the band asked for") {
  std::vector<float> sound(kLinesSize, 0.0F);
  const double bins[] = {100, 200, 300, 400, 500};
  const double amplitudes[] = {0.02, 0.1, 0.05, 0.2, 0.01};
  for (int i = 0; i < 5; ++i) test::add(sound, test::cosine(kLinesSize, bins[i], amplitudes[i], 0.3 * i));

  const auto all = lines_of(sound);
  REQUIRE(all.size() == 5);
  CHECK(std::is_sorted(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.power > b.power; }));
  CHECK(all.front().bin == 400);

  const auto two = lines_of(sound, 1e-9F, {.most = 2});
  REQUIRE(two.size() == 2);
  CHECK(two[0].bin == 400);
  CHECK(two[1].bin == 200);

  const auto band = lines_of(sound, 1e-9F, {.from_hz = 150 * kBinHz, .to_hz = 350 * kBinHz});
  REQUIRE(band.size() == 2);
  CHECK(band[0].bin == 200);
  CHECK(band[1].bin == 300);
}

TEST_CASE("a maximum counts only where it stands high enough over the background") {
  const auto sound = test::cosine(kLinesSize, 250.0, 0.1, 0.0);  // power 0.01
  CHECK(lines_of(sound, 0.01F / 6.0F).empty());             // 7.8 dB
  const auto lines = lines_of(sound, 0.01F / 6.6F);         // 8.2 dB
  REQUIRE(lines.size() == 1);
  CHECK_THAT(lines.front().over, WithinAbs(6.6, 0.01));
}

TEST_CASE("nothing is found in silence and in a spectrum too short to have a line") {
  CHECK(lines_of(std::vector<float>(kLinesSize, 0.0F)).empty());
  std::vector<signal::Line> lines{signal::Line{}};
  const std::vector<float> four{0.0F, 1.0F, 0.0F, 0.0F};
  signal::find_lines(four, four, 10.0, {}, lines);
  CHECK(lines.empty());
}
