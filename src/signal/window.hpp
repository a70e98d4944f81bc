// Cosine-sum windows, periodic form. Formula and coefficients: Harris, "On the Use of Windows for Harmonic Analysis with
// the Discrete Fourier Transform", Proc. IEEE 66 (1978); flat top and Nuttall: common coefficients, see the tests.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace hushmill::signal {

enum class WindowKind { rectangular, hann, hamming, blackman, blackman_harris, nuttall, flat_top };

/// w[n] = a0 − a1·cos(2πn/N) + a2·cos(4πn/N) − …, n = 0 … N−1. Throws std::invalid_argument for size 0.
std::vector<float> make_window(WindowKind kind, std::size_t size_samples);

/// The coefficients a0, a1, …
std::span<const double> window_coefficients(WindowKind kind) noexcept;

/// Equivalent noise bandwidth in bins, N·Σw²/(Σw)² (Harris 1978, eq. 11).
double noise_bandwidth_bins(std::span<const float> window) noexcept;

/// Mean of the window: the gain of a steady sine.
double coherent_gain(std::span<const float> window) noexcept;

}  // namespace hushmill::signal
