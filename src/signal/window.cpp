#include "signal/window.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace hushmill::signal {

namespace {
constexpr std::array<double, 1> kRectangular{1.0};
constexpr std::array<double, 2> kHann{0.5, 0.5};
constexpr std::array<double, 2> kHamming{0.54, 0.46};
constexpr std::array<double, 3> kBlackman{0.42, 0.50, 0.08};
constexpr std::array<double, 4> kBlackmanHarris{0.35875, 0.48829, 0.14128, 0.01168};
constexpr std::array<double, 4> kNuttall{0.3635819, 0.4891775, 0.1365995, 0.0106411};
constexpr std::array<double, 5> kFlatTop{0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368};
}  // namespace

std::span<const double> window_coefficients(WindowKind kind) noexcept {
  switch (kind) {
    case WindowKind::rectangular: return kRectangular;
    case WindowKind::hann: return kHann;
    case WindowKind::hamming: return kHamming;
    case WindowKind::blackman: return kBlackman;
    case WindowKind::blackman_harris: return kBlackmanHarris;
    case WindowKind::nuttall: return kNuttall;
    case WindowKind::flat_top: return kFlatTop;
  }
  return kRectangular;
}

std::vector<float> make_window(WindowKind kind, std::size_t size_samples) {
  if (size_samples == 0) throw std::invalid_argument("window size is 0; at least 1 would be right");
  const auto coefficients = window_coefficients(kind);
  std::vector<float> window(size_samples);
  for (std::size_t n = 0; n < size_samples; ++n) {
    const double turn = 2.0 * std::numbers::pi * static_cast<double>(n) / static_cast<double>(size_samples);
    double value = 0;
    double sign = 1;
    for (std::size_t m = 0; m < coefficients.size(); ++m, sign = -sign)
      value += sign * coefficients[m] * std::cos(static_cast<double>(m) * turn);
    window[n] = static_cast<float>(value);
  }
  return window;
}

double noise_bandwidth_bins(std::span<const float> window) noexcept {
  double sum = 0;
  double sum_squares = 0;
  for (const float w : window) {
    sum += static_cast<double>(w);
    sum_squares += static_cast<double>(w) * static_cast<double>(w);
  }
  return static_cast<double>(window.size()) * sum_squares / (sum * sum);
}

double coherent_gain(std::span<const float> window) noexcept {
  double sum = 0;
  for (const float w : window) sum += static_cast<double>(w);
  return sum / static_cast<double>(window.size());
}

}  // namespace hushmill::signal
