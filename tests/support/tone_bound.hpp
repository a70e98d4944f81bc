// How well the frequency of a tone can be told at all.
#pragma once

#include <cmath>
#include <numbers>

namespace hushmill::test {

/// Cramér-Rao bound on the standard deviation of the frequency of a real sine A·cos in white noise of variance s², with
/// snr = A²/(2s²): sqrt(12·fs²/((2π)²·snr·N·(N²−1))) (Rife and Boorstyn 1974; real form in Kay 1993, from memory).
inline double tone_bound_hz(double snr, double samples, double sample_rate_hz) {
  const double two_pi = 2.0 * std::numbers::pi;
  return std::sqrt(12.0 * sample_rate_hz * sample_rate_hz / (two_pi * two_pi * snr * samples * (samples * samples - 1.0)));
}

}  // namespace hushmill::test
