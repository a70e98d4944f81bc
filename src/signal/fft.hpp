// Forward transform of real samples. The one place that sees KissFFT.
//
// KissFFT allocates inside the transform for factors other than 2, 3 and 5 and for in-place calls, so only even
// sizes made of these factors are accepted, out of place. After construction `process` allocates nothing.
#pragma once

#include <complex>
#include <cstddef>
#include <memory>
#include <span>

namespace hushmill::signal {

class RealFft {
 public:
  /// Throws std::invalid_argument unless the size is even and has no factors but 2, 3 and 5.
  explicit RealFft(std::size_t size_samples);

  /// X[k] = Σ x[n]·exp(−2πi·k·n/N), k = 0 … N/2. `in` has N samples, `out` N/2 + 1 bins.
  void process(std::span<const float> in, std::span<std::complex<float>> out) noexcept;

  std::size_t size_samples() const noexcept { return size_samples_; }
  std::size_t size_bins() const noexcept { return size_samples_ / 2 + 1; }

 private:
  struct Free {
    void operator()(void* plan) const noexcept;
  };
  std::size_t size_samples_;
  std::unique_ptr<void, Free> plan_;
};

/// Smallest acceptable size that is not below the one asked for.
std::size_t fft_size_at_least(std::size_t size_samples) noexcept;

}  // namespace hushmill::signal
