#include "signal/spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <numeric>
#include <vector>

#include "signal/decibel.hpp"
#include "signal/reference_fft.hpp"
#include "signal/sines.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinAbs;
using test::WithinRel;

namespace {
constexpr std::size_t kSpectrumSize = 4096;
constexpr double kSpectrumRateHz = 48000;

double sum(std::span<const float> values) { return std::accumulate(values.begin(), values.end(), 0.0); }
}  // namespace

TEST_CASE("a full-scale sine on a bin reads 0 dBFS, whatever its phase, bin and the frame's size") {
  for (const std::size_t size : {480U, 4096U, 6000U}) {
    signal::Spectrum spectrum(size, kSpectrumRateHz);
    for (const std::size_t bin : {std::size_t{4}, std::size_t{37}, size / 2 - 5}) {
      for (const double phase : {0.0, 0.9, 2.4}) {
        INFO("size " << size << ", bin " << bin << ", phase " << phase);
        spectrum.process(test::cosine(size, static_cast<double>(bin), 1.0, phase));
        CHECK_THAT(static_cast<double>(signal::power_db(spectrum.power()[bin])), WithinAbs(0.0, 1e-4));
        CHECK(std::max_element(spectrum.power().begin(), spectrum.power().end()) - spectrum.power().begin() ==
              static_cast<std::ptrdiff_t>(bin));
      }
    }
  }
}

TEST_CASE("a sine half way between two bins reads the scalloping of a Hann window lower") {
  // 1.42 dB: Harris, "On the Use of Windows for Harmonic Analysis with the Discrete Fourier Transform", Proc. IEEE 66
  // (1978), table I (the figure from memory); 1.4236 dB computed from the window's transform.
  signal::Spectrum spectrum(kSpectrumSize, kSpectrumRateHz);
  spectrum.process(test::cosine(kSpectrumSize, 300.5, 0.1, 0.3));
  for (const std::size_t bin : {300U, 301U})
    CHECK_THAT(static_cast<double>(signal::power_db(spectrum.power()[bin])), WithinAbs(-20.0 - 1.4236, 0.005));
}

TEST_CASE("the spectrum agrees with a Hann window and FFTW in double precision to a millionth of the maximum") {
  auto sound = test::white_noise(kSpectrumSize, 0.05, 3);
  test::add(sound, test::cosine(kSpectrumSize, 211.3, 0.4, 1.0));
  test::add(sound, test::cosine(kSpectrumSize, 1203.8, 0.1, 0.2));
  signal::Spectrum spectrum(kSpectrumSize, kSpectrumRateHz);
  spectrum.process(sound);

  std::vector<double> windowed(kSpectrumSize);
  for (std::size_t n = 0; n < kSpectrumSize; ++n)
    windowed[n] = static_cast<double>(sound[n]) *
                  (0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(n) / static_cast<double>(kSpectrumSize)));
  const auto bins = test::reference_fft(windowed);
  std::vector<double> expected(bins.size());
  for (std::size_t k = 0; k < bins.size(); ++k) expected[k] = std::norm(bins[k] * (2.0 / (0.5 * kSpectrumSize)));
  const double most = *std::max_element(expected.begin(), expected.end());
  REQUIRE(spectrum.power().size() == expected.size());
  for (std::size_t k = 0; k < expected.size(); ++k)
    REQUIRE_THAT(static_cast<double>(spectrum.power()[k]), WithinAbs(expected[k], 1e-6 * most));
}

TEST_CASE("the sum over bins, divided by the noise bandwidth, is the power of the sound") {
  signal::Spectrum spectrum(kSpectrumSize, kSpectrumRateHz);
  CHECK_THAT(spectrum.noise_bandwidth_bins(), WithinAbs(1.5, 1e-6));  // Hann, exact
  CHECK_THAT(spectrum.bin_hz(), WithinRel(kSpectrumRateHz / kSpectrumSize, 1e-12));

  spectrum.process(test::cosine(kSpectrumSize, 512.37, 0.5, 0.1));
  CHECK_THAT(sum(spectrum.power()) / spectrum.noise_bandwidth_bins(), WithinRel(0.25, 1e-4));

  // White noise of variance s² holds 2s² full-scale sines; a mean over 200 frames scatters by 0.2 %.
  constexpr double kDeviation = 0.1;
  constexpr int kFrames = 200;
  double power = 0;
  for (int frame = 0; frame < kFrames; ++frame) {
    spectrum.process(test::white_noise(kSpectrumSize, kDeviation, 100 + static_cast<std::uint64_t>(frame)));
    power += sum(spectrum.power()) / spectrum.noise_bandwidth_bins() / kFrames;
  }
  CHECK_THAT(power, WithinRel(2 * kDeviation * kDeviation, 0.01));
}

TEST_CASE("a spectrum does not remember the frame before it") {
  const auto first = test::white_noise(kSpectrumSize, 0.5, 1);
  const auto second = test::cosine(kSpectrumSize, 99.0, 0.5, 0.0);
  signal::Spectrum used(kSpectrumSize, kSpectrumRateHz);
  used.process(first);
  used.process(second);
  signal::Spectrum fresh(kSpectrumSize, kSpectrumRateHz);
  fresh.process(second);
  CHECK(std::equal(used.power().begin(), used.power().end(), fresh.power().begin()));
}

TEST_CASE("silence has no power") {
  signal::Spectrum spectrum(kSpectrumSize, kSpectrumRateHz);
  spectrum.process(std::vector<float>(kSpectrumSize, 0.0F));
  CHECK(std::all_of(spectrum.power().begin(), spectrum.power().end(), [](float p) { return p == 0.0F; }));
}
