#include "signal/tone.hpp"

#include <cmath>
#include <complex>
#include <numbers>

namespace hushmill::signal {

namespace {
// |Σ x[n]·exp(−iωn)|² by a rotating phasor in double precision.
double periodogram(std::span<const float> samples, double omega) noexcept {
  const std::complex<double> step = std::polar(1.0, -omega);
  std::complex<double> phasor = 1.0;
  std::complex<double> sum = 0.0;
  for (const float x : samples) {
    sum += static_cast<double>(x) * phasor;
    phasor *= step;
  }
  return std::norm(sum);
}
}  // namespace

double refine_tone_hz(std::span<const float> samples, double sample_rate_hz, double start_hz, double within_hz) noexcept {
  if (samples.size() < 8 || sample_rate_hz <= 0) return start_hz;
  const double to_omega = 2.0 * std::numbers::pi / sample_rate_hz;
  double low = start_hz - within_hz;
  double high = start_hz + within_hz;
  // Golden section: the periodogram has one maximum within half a bin of its main lobe.
  constexpr double kGolden = 0.6180339887498949;
  double a = high - kGolden * (high - low);
  double b = low + kGolden * (high - low);
  double at_a = periodogram(samples, a * to_omega);
  double at_b = periodogram(samples, b * to_omega);
  for (int turn = 0; turn < 24; ++turn) {
    if (at_a > at_b) {
      high = b;
      b = a;
      at_b = at_a;
      a = high - kGolden * (high - low);
      at_a = periodogram(samples, a * to_omega);
    } else {
      low = a;
      a = b;
      at_a = at_b;
      b = low + kGolden * (high - low);
      at_b = periodogram(samples, b * to_omega);
    }
  }
  return 0.5 * (low + high);
}

double tone_bound_hz(double snr, double samples, double sample_rate_hz) noexcept {
  const double two_pi = 2.0 * std::numbers::pi;
  return std::sqrt(12.0 * sample_rate_hz * sample_rate_hz / (two_pi * two_pi * snr * samples * (samples * samples - 1.0)));
}

}  // namespace hushmill::signal
