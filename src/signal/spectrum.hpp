// Power spectrum of one Hann-windowed frame. `process` allocates nothing.
#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

#include "signal/fft.hpp"

namespace hushmill::signal {

class Spectrum {
 public:
  /// See RealFft for the sizes accepted.
  Spectrum(std::size_t size_samples, double sample_rate_hz);

  /// Takes size_samples() samples; afterwards power() holds one value a bin: a full-scale sine on a bin reads 1.
  void process(std::span<const float> frame) noexcept;

  std::span<const float> power() const noexcept { return power_; }
  std::size_t size_samples() const noexcept { return fft_.size_samples(); }
  std::size_t size_bins() const noexcept { return fft_.size_bins(); }
  double bin_hz() const noexcept { return bin_hz_; }
  /// Sum of power() over bins, divided by this, is the power of the sound in units of a full-scale sine.
  double noise_bandwidth_bins() const noexcept { return noise_bandwidth_bins_; }

 private:
  RealFft fft_;
  std::vector<float> window_;  ///< scaled so that a full-scale sine reads 1
  std::vector<float> windowed_;
  std::vector<std::complex<float>> bins_;
  std::vector<float> power_;
  double bin_hz_;
  double noise_bandwidth_bins_;
};

}  // namespace hushmill::signal
