// The refinement of one tone, against the bound that no estimate can beat: Rife and Boorstyn, "Single-tone parameter
// estimation from discrete-time observations", IEEE Trans. Inf. Theory 20 (1974) 591-598 (citation from memory).
#include "signal/tone.hpp"

#include <cmath>
#include <numbers>
#include <vector>

#include "signal/lines.hpp"
#include "signal/reference_fft.hpp"
#include "signal/sines.hpp"
#include "signal/spectrum.hpp"
#include "support/catch.hpp"
#include "support/tone_bound.hpp"

using namespace hushmill;
using test::WithinAbs;
using test::WithinRel;

namespace {

constexpr double kRateHz = 48000;
constexpr std::size_t kSamples = 1024;

// The whole way as the engine goes it: a Hann peak, interpolated, refined on the plain samples.
double found_hz(const std::vector<float>& sound, double near_hz) {
  signal::Spectrum spectrum(sound.size(), kRateHz);
  spectrum.process(sound);
  const std::vector<float> background(spectrum.power().size(), 1e-12F);
  std::vector<signal::Line> lines;
  signal::find_lines(spectrum.power(), background, spectrum.bin_hz(),
                     {.from_hz = near_hz - 200, .to_hz = near_hz + 200, .most = 1}, lines);
  REQUIRE(lines.size() == 1);
  return signal::refine_tone_hz(sound, kRateHz, lines.front().hz, 0.5 * spectrum.bin_hz());
}

// Root mean square error over many tones of random frequency and phase, at A²/(2s²) = snr.
double error_hz(double snr, std::uint64_t seed) {
  constexpr int kTrials = 2000;  // the ratio itself scatters by 1.6 %
  test::Chance chance(seed);
  double squares = 0;
  for (int trial = 0; trial < kTrials; ++trial) {
    const double hz = chance.uniform(9000, 15000);
    const double phase = chance.uniform(0, 2 * std::numbers::pi);
    auto sound = test::cosine(kSamples, hz / kRateHz * kSamples, 0.5, phase);
    test::add(sound, test::white_noise(kSamples, 0.5 / std::sqrt(2 * snr), chance.next()));
    const double error = found_hz(sound, hz) - hz;
    squares += error * error / kTrials;
  }
  return std::sqrt(squares);
}

}  // namespace

TEST_CASE("the bound on a tone's frequency has its published value") {
  // Real form, computed from the formula in Kay, "Fundamentals of Statistical Signal Processing I" (1993, from memory).
  CHECK_THAT(test::tone_bound_hz(1, 1024, 48000), WithinAbs(0.807611, 1e-6));
  CHECK_THAT(test::tone_bound_hz(10, 1024, 48000), WithinAbs(0.255389, 1e-6));
  CHECK_THAT(test::tone_bound_hz(100, 1024, 48000), WithinAbs(0.0807611, 1e-7));
  // Complex form, var(omega) = 12·s²/(A²·T²·N·(N² − 1)) with A = s = 1, T = 1 us, N = 513: 88885.475687 (rad/s)²,
  // printed in a university course's results that quote the paper (seen in an excerpt). There the noise has s² in each
  // of the real and the imaginary part; the real form with A²/(2s²) = 1 has the same value.
  const double omega = 2 * std::numbers::pi * test::tone_bound_hz(1, 513, 1e6);
  CHECK_THAT(omega * omega, WithinAbs(88885.475687, 1e-4));
}

TEST_CASE("the tone's frequency scatters at most 1.3 times the bound, 10 dB and more over the threshold") {
  // The threshold of 1024 samples lies near -10 dB (from memory: the estimate breaks down there); from 0 dB upward.
  for (const double snr_db : {0.0, 5.0, 10.0, 20.0}) {
    const double snr = std::pow(10.0, snr_db / 10.0);
    const double bound_hz = test::tone_bound_hz(snr, kSamples, kRateHz);
    const double ratio = error_hz(snr, 17 + static_cast<std::uint64_t>(snr_db)) / bound_hz;
    INFO("at " << snr_db << " dB, bound " << bound_hz << " Hz, error over bound " << ratio);
    CHECK(ratio <= 1.3);
    // What the half-cosine window costs (derived), to within the chance of 2000 trials.
    CHECK_THAT(ratio, WithinAbs(1.224, 0.08));
  }
}

TEST_CASE("a clean tone is refined to a thousandth of a bin") {
  const double bin_hz = kRateHz / kSamples;
  test::Chance chance(5);
  for (int trial = 0; trial < 50; ++trial) {
    const double hz = chance.uniform(9000, 15000);
    const auto sound = test::cosine(kSamples, hz / bin_hz, 0.5, chance.uniform(0, 6.28));
    const double start_hz = hz + chance.uniform(-0.45, 0.45) * bin_hz;
    CHECK_THAT(signal::refine_tone_hz(sound, kRateHz, start_hz, 0.5 * bin_hz), WithinAbs(hz, 2e-3 * bin_hz));
  }
}

TEST_CASE("too few samples leave the start as it was") {
  const std::vector<float> few(7, 0.1F);
  CHECK(signal::refine_tone_hz(few, kRateHz, 1234.5, 10) == 1234.5);
}

TEST_CASE("a stronger neighbour eight bins away moves the tone by less than a fiftieth of a bin") {
  const double bin_hz = kRateHz / kSamples;
  test::Chance chance(6);
  for (int trial = 0; trial < 50; ++trial) {
    const double bin = chance.uniform(200, 300);
    auto sound = test::cosine(kSamples, bin, 0.1, chance.uniform(0, 6.28));
    test::add(sound, test::cosine(kSamples, bin + 8.5, 0.2, chance.uniform(0, 6.28)));
    CHECK_THAT(signal::refine_tone_hz(sound, kRateHz, bin * bin_hz, 0.5 * bin_hz),
               WithinAbs(bin * bin_hz, 0.02 * bin_hz));
  }
}

TEST_CASE("the refined frequency of a tone is where a general-purpose transform of the padded sound has its peak") {
  // FFTW in double precision, 64 times zero-padded: bins of a 64th, the peak by a parabola.
  constexpr std::size_t kPad = 64;
  test::Chance chance(9);
  for (int trial = 0; trial < 10; ++trial) {
    const double bin = chance.uniform(100, 400);
    auto sound = test::cosine(kSamples, bin, 0.4, chance.uniform(0, 6.28));
    test::add(sound, test::white_noise(kSamples, 0.1, chance.next()));
    std::vector<double> padded(kPad * kSamples);
    for (std::size_t n = 0; n < kSamples; ++n)
      padded[n] = static_cast<double>(sound[n]) *
                  std::sin(std::numbers::pi * (static_cast<double>(n) + 0.5) / static_cast<double>(kSamples));
    const auto bins = test::reference_fft(padded);
    std::size_t top = kPad * 90;
    for (std::size_t k = top; k < kPad * 410; ++k)
      if (std::norm(bins[k]) > std::norm(bins[top])) top = k;
    const double before = std::abs(bins[top - 1]), at = std::abs(bins[top]), after = std::abs(bins[top + 1]);
    const double peak = static_cast<double>(top) + 0.5 * (before - after) / (before - 2 * at + after);
    const double bin_hz = kRateHz / kSamples;
    CHECK_THAT(signal::refine_tone_hz(sound, kRateHz, bin * bin_hz, bin_hz) / bin_hz,
               WithinAbs(peak / static_cast<double>(kPad), 2e-4));
  }
}
