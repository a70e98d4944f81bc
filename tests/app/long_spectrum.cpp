#include "app/long_spectrum.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "signal/reference_fft.hpp"

namespace hushmill::test {

LongSpectrum::LongSpectrum(const std::vector<float>& samples, double sample_rate_hz, double from_s, double to_s) {
  const auto from = static_cast<std::size_t>(from_s * sample_rate_hz);
  const auto to = std::min(samples.size(), static_cast<std::size_t>(to_s * sample_rate_hz));
  const std::size_t size = to - from;
  std::vector<double> windowed(size);
  for (std::size_t n = 0; n < size; ++n)
    windowed[n] = static_cast<double>(samples[from + n]) *
                  (0.5 - 0.5 * std::cos(2 * std::numbers::pi * static_cast<double>(n) / static_cast<double>(size)));
  for (const auto& bin : reference_fft(std::move(windowed))) power_.push_back(std::norm(bin));
  bin_hz_ = sample_rate_hz / static_cast<double>(size);
}

std::size_t LongSpectrum::bin(double hz) const {
  return static_cast<std::size_t>(std::clamp(std::round(hz / bin_hz_), 0.0, static_cast<double>(power_.size() - 1)));
}

double LongSpectrum::strongest_hz(double from_hz, double to_hz) const {
  const auto most = std::max_element(power_.begin() + static_cast<std::ptrdiff_t>(bin(from_hz)),
                                     power_.begin() + static_cast<std::ptrdiff_t>(bin(to_hz)) + 1);
  return bin_hz_ * static_cast<double>(most - power_.begin());
}

double LongSpectrum::power_near(double hz, double within_hz) const {
  const auto from = power_.begin() + static_cast<std::ptrdiff_t>(bin(hz - within_hz));
  return *std::max_element(from, power_.begin() + static_cast<std::ptrdiff_t>(bin(hz + within_hz)) + 1);
}

double off_tooth_line_hz(const LongSpectrum& spectrum, double tooth_hz, double to_hz) {
  double best_hz = 0;
  for (double low = 0; low < to_hz; low += tooth_hz) {
    const double hz = spectrum.strongest_hz(low + 0.05 * tooth_hz, low + 0.95 * tooth_hz);
    if (best_hz == 0 || spectrum.power_near(hz, 0) > spectrum.power_near(best_hz, 0)) best_hz = hz;
  }
  return best_hz;
}

double family_distance_hz(double hz, double line_hz, double tooth_hz) {
  const auto to_whole = [&](double difference_hz) {
    const double turns = difference_hz / tooth_hz;
    return std::abs(turns - std::round(turns)) * tooth_hz;
  };
  return std::min(to_whole(hz - line_hz), to_whole(hz + line_hz));
}

}  // namespace hushmill::test
