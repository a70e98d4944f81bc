#include "signal/spectrum.hpp"

#include "signal/window.hpp"

namespace hushmill::signal {

Spectrum::Spectrum(std::size_t size_samples, double sample_rate_hz)
    : fft_(size_samples),
      window_(make_window(WindowKind::hann, size_samples)),
      windowed_(size_samples),
      bins_(fft_.size_bins()),
      power_(fft_.size_bins(), 0.0F),
      bin_hz_(sample_rate_hz / static_cast<double>(size_samples)),
      noise_bandwidth_bins_(signal::noise_bandwidth_bins(window_)) {
  const double gain = 2.0 / (static_cast<double>(size_samples) * coherent_gain(window_));
  for (float& w : window_) w *= static_cast<float>(gain);
}

void Spectrum::process(std::span<const float> frame) noexcept {
  for (std::size_t n = 0; n < windowed_.size(); ++n) windowed_[n] = frame[n] * window_[n];
  fft_.process(windowed_, bins_);
  for (std::size_t k = 0; k < power_.size(); ++k)
    power_[k] = bins_[k].real() * bins_[k].real() + bins_[k].imag() * bins_[k].imag();
}

}  // namespace hushmill::signal
