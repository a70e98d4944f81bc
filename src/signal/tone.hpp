// The frequency of one tone to the limit that the samples allow.
//
// Maximises the periodogram of the plain (unweighted) samples, which is the maximum-likelihood estimate for a lone sine in
// white noise: Rife and Boorstyn, "Single-tone parameter estimation from discrete-time observations", IEEE Trans. Inf.
// Theory 20 (1974). Start it within half a bin of the truth, as a Hann peak is.
#pragma once

#include <span>

namespace hushmill::signal {

/// Refined frequency near `start_hz`, searched within ±`within_hz`.
double refine_tone_hz(std::span<const float> samples, double sample_rate_hz, double start_hz, double within_hz) noexcept;

/// Cramér-Rao bound on the standard deviation of the frequency of a real sine A·cos in white noise of variance s², with
/// snr = A²/(2s²): sqrt(12·fs²/((2π)²·snr·N·(N²−1))) (Rife and Boorstyn 1974; real form in Kay 1993, from memory).
double tone_bound_hz(double snr, double samples, double sample_rate_hz) noexcept;

}  // namespace hushmill::signal
