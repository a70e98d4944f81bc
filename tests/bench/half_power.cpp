#include "bench/half_power.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include "signal/fft.hpp"

namespace hushmill::bench {

namespace {
constexpr double kRingS = 0.5;
constexpr double kLowestHz = 45, kReadingHighestHz = 11000;

// Power spectrum, filled up with nothing to four times the length so that the widths of narrow peaks can be read.
std::vector<double> spectrum(std::span<const float> piece, std::size_t size) {
  signal::RealFft fft(size);
  std::vector<float> in(size);
  std::copy(piece.begin(), piece.end(), in.begin());
  std::vector<std::complex<float>> bins(fft.size_bins());
  fft.process(in, bins);
  std::vector<double> power;
  for (const auto bin : bins) power.push_back(static_cast<double>(std::norm(bin)));
  return power;
}

// Where the spectrum falls below half of the top, going one way; linear between bins.
double half_at(const std::vector<double>& power, std::size_t top, int way) {
  const double half = power[top] / 2;
  auto k = static_cast<std::ptrdiff_t>(top);
  while (k > 0 && k + 1 < static_cast<std::ptrdiff_t>(power.size()) && power[static_cast<std::size_t>(k)] > half) k += way;
  const double here = power[static_cast<std::size_t>(k)], inside = power[static_cast<std::size_t>(k - way)];
  return static_cast<double>(k) - way * (half - here) / std::max(inside - here, 1e-30);
}
}  // namespace

std::vector<HalfPowerMode> half_power_modes(std::span<const float> sound, double rate_hz, const std::vector<double>& tap_s) {
  std::vector<HalfPowerMode> modes;
  const auto length = static_cast<std::size_t>(kRingS * rate_hz);
  const std::size_t size = signal::fft_size_at_least(4 * length);
  std::vector<double> mean(size / 2 + 1), room(size / 2 + 1);
  for (const double at_s : tap_s) {
    const auto from = static_cast<std::size_t>((at_s + 0.001) * rate_hz);
    if (from + length > sound.size()) continue;
    const auto one = spectrum(sound.subspan(from, length), size);
    for (std::size_t k = 0; k < mean.size(); ++k) mean[k] += one[k] / static_cast<double>(tap_s.size());
  }
  const auto before = static_cast<std::size_t>(std::max(0.0, tap_s.front() - 0.02) * rate_hz);
  if (before >= length) room = spectrum(sound.subspan(before - length, length), size);
  const double bin_hz = rate_hz / static_cast<double>(size);
  const auto first = static_cast<std::size_t>(kLowestHz / bin_hz), last = std::min(mean.size() - 2, static_cast<std::size_t>(kReadingHighestHz / bin_hz));
  const double highest = *std::max_element(mean.begin() + static_cast<std::ptrdiff_t>(first), mean.begin() + static_cast<std::ptrdiff_t>(last));
  for (std::size_t k = first; k < last; ++k) {
    if (mean[k] < highest * 1e-3) continue;
    const double near_hz = std::max(4.0, 0.01 * bin_hz * static_cast<double>(k));
    const auto reach = static_cast<std::size_t>(near_hz / bin_hz);
    const auto from = mean.begin() + static_cast<std::ptrdiff_t>(k - std::min(k, reach)), to = mean.begin() + static_cast<std::ptrdiff_t>(std::min(mean.size(), k + reach + 1));
    if (mean[k] < *std::max_element(from, to)) continue;
    const auto room_from = room.begin() + (from - mean.begin()), room_to = room.begin() + (to - mean.begin());
    if (mean[k] < 10 * *std::max_element(room_from, room_to)) continue;
    const double low = half_at(mean, k, -1), high = half_at(mean, k, 1);
    const double hz = bin_hz * static_cast<double>(k);
    modes.push_back({hz, bin_hz * (high - low) / (2 * hz)});
  }
  return modes;
}

}  // namespace hushmill::bench
