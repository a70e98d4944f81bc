#include "bench/true_tone.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "signal/fft.hpp"
#include "signal/lines.hpp"
#include "signal/spectrum.hpp"

namespace hushmill::bench {
namespace {

constexpr double kFrameS = 1.0;
constexpr double kBesideBins = 1.6;  // a line this near to a multiple cannot be told from it

// Mean power spectrum of frames that overlap by half.
struct MeanSpectrum {
  std::vector<double> power{};
  double bin_hz = 1;
};

MeanSpectrum mean_spectrum(std::span<const float> sound, double rate_hz, double from_s, double to_s) {
  const double frame_s = std::min(kFrameS, to_s - from_s);
  if (frame_s < 0.05) return {};
  auto size = static_cast<std::size_t>(frame_s * rate_hz);
  while (signal::fft_size_at_least(size) != size) --size;
  signal::Spectrum spectrum(size, rate_hz);
  MeanSpectrum mean{std::vector<double>(spectrum.size_bins()), spectrum.bin_hz()};
  const auto to = std::min(sound.size(), static_cast<std::size_t>(to_s * rate_hz));
  int frames = 0;
  for (auto at = static_cast<std::size_t>(from_s * rate_hz); at + size <= to; at += size / 2, ++frames) {
    spectrum.process(sound.subspan(at, size));
    for (std::size_t k = 0; k < mean.power.size(); ++k) mean.power[k] += static_cast<double>(spectrum.power()[k]);
  }
  for (double& p : mean.power) p /= std::max(1, frames);
  return mean;
}

double away_from_multiple(double hz, double of_hz) { return std::abs(hz - of_hz * std::round(hz / of_hz)); }

}  // namespace

double nearest_of_family(double hz, double chatter_hz, double tooth_hz) {
  const double up = chatter_hz + tooth_hz * std::round((hz - chatter_hz) / tooth_hz);
  const double down = -chatter_hz + tooth_hz * std::round((hz + chatter_hz) / tooth_hz);
  return std::abs(hz - up) < std::abs(hz - down) ? up : down;
}

TrueTone true_tone(std::span<const float> chatter, std::span<const float> all, double rate_hz, double from_s,
                   double to_s, double rpm, int flutes) {
  const double grown_s = from_s + (to_s - from_s) / 3;
  const MeanSpectrum alone = mean_spectrum(chatter, rate_hz, grown_s, to_s);
  if (alone.power.empty()) return {};
  std::vector<float> rest(all.begin(), all.end());
  for (std::size_t i = 0; i < rest.size(); ++i) rest[i] -= chatter[i];
  const MeanSpectrum others = mean_spectrum(rest, rate_hz, grown_s, to_s);

  const double rotation_hz = rpm / 60, tooth_hz = rotation_hz * flutes, beside_hz = kBesideBins * alone.bin_hz;
  std::size_t off = 0, half = 0;
  for (auto k = static_cast<std::size_t>(60 / alone.bin_hz) + 1; k + 1 < alone.power.size(); ++k) {
    const double hz = alone.bin_hz * static_cast<double>(k);
    if (hz > 0.45 * rate_hz) break;
    if (away_from_multiple(hz - 0.5 * tooth_hz, tooth_hz) < beside_hz) {
      if (half == 0 || alone.power[k] > alone.power[half]) half = k;
    } else if (away_from_multiple(hz, rotation_hz) >= beside_hz) {
      if (off == 0 || alone.power[k] > alone.power[off]) off = k;
    }
  }
  TrueTone tone;
  tone.period_doubling = half != 0 && (off == 0 || alone.power[half] > 2 * alone.power[off]);
  const std::size_t top = tone.period_doubling ? half : off;
  if (top == 0 || alone.power[top] <= 0) return {};
  tone.hz =
      alone.bin_hz * signal::interpolate_hann(alone.power[top - 1], alone.power[top], alone.power[top + 1], top).bin;
  const double band = std::round(10 * std::log10(tone.hz / 1000));
  const double low_hz = 1000 * std::pow(10.0, (band - 0.5) / 10), high_hz = 1000 * std::pow(10.0, (band + 0.5) / 10);
  double of_chatter = 0, of_rest = 1e-30;
  for (std::size_t k = 0; k < alone.power.size(); ++k) {
    const double hz = alone.bin_hz * static_cast<double>(k);
    if (hz < low_hz || hz >= high_hz) continue;
    // What regeneration does to the teeth's own lines is not chatter.
    if (away_from_multiple(hz, tooth_hz) >= beside_hz) of_chatter += alone.power[k];
    of_rest += others.power[k];
  }
  tone.over_rest_db = 10 * std::log10(of_chatter / of_rest);
  return tone;
}

int clear_harmonics(std::span<const float> all, double rate_hz, double from_s, double to_s, double rpm) {
  const MeanSpectrum heard = mean_spectrum(all, rate_hz, from_s, to_s);
  if (heard.power.empty()) return 0;
  const auto around = static_cast<std::size_t>(200 / heard.bin_hz);
  int clear = 0;
  std::vector<double> near;
  for (double hz = rpm / 60; hz < std::min(6000.0, 0.42 * rate_hz); hz += rpm / 60) {
    const auto k = static_cast<std::size_t>(std::lround(hz / heard.bin_hz));
    if (k < 3) continue;
    near.assign(heard.power.begin() + static_cast<std::ptrdiff_t>(k > around ? k - around : 0),
                heard.power.begin() + static_cast<std::ptrdiff_t>(std::min(heard.power.size(), k + around)));
    std::nth_element(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(near.size() / 2), near.end());
    const double top = std::max({heard.power[k - 1], heard.power[k], heard.power[k + 1]});
    clear += top > 10 * near[near.size() / 2] ? 1 : 0;
  }
  return clear;
}

}  // namespace hushmill::bench
