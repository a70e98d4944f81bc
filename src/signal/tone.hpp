// The frequency of one tone, close to the limit that the samples allow and cheaply enough for every row.
//
// Climbs to the maximum of the periodogram under a half-cosine window by Newton's steps, each one pass over the
// samples. A window costs accuracy: in white noise the plain periodogram reaches the bound (Rife and Boorstyn,
// "Single-tone parameter estimation from discrete-time observations", IEEE Trans. Inf. Theory 20 (1974)), the half
// cosine stays at 1.22 times the bound and a Hann peak at 1.53 (derived: Σw²t²/(Σwt²)² over 1/Σt²). In return, strong
// neighbours leak far less than without a window. Start it within half a bin of the truth, as a Hann peak is. Allocates
// nothing.
#pragma once

#include <span>

namespace hushmill::signal {

/// Refined frequency near `start_hz`, within ±`within_hz` of it; `start_hz` itself where there is no maximum.
double refine_tone_hz(std::span<const float> samples, double sample_rate_hz, double start_hz,
                      double within_hz) noexcept;

}  // namespace hushmill::signal
