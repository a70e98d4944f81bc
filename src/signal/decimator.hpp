// Lowers the sample rate by a whole factor behind a linear-phase low-pass filter (Kaiser window, 70 dB).
//
// Pass band to 0.42 of the new rate. Block sizes do not change the output. `process` allocates nothing.
// Delay: latency_samples() input samples.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace hushmill::signal {

class Decimator {
 public:
  /// Factor 1 passes samples through. Throws std::invalid_argument for factor 0.
  explicit Decimator(std::size_t factor);

  /// Takes one input sample; true when `out` holds a new output sample.
  bool process(float in, float& out) noexcept {
    if (factor_ == 1) {
      out = in;
      return true;
    }
    past_[write_] = in;
    past_[write_ + size_] = in;
    write_ = write_ + 1 == size_ ? 0 : write_ + 1;
    phase_ = phase_ + 1 == factor_ ? 0 : phase_ + 1;
    if (phase_ != 0) return false;
    out = filtered();
    return true;
  }
  void reset() noexcept;

  std::size_t factor() const noexcept { return factor_; }
  std::size_t latency_samples() const noexcept { return size_ / 2; }

 private:
  float filtered() const noexcept;

  std::size_t factor_;
  std::size_t size_ = 0;     ///< of the filter
  std::vector<float> taps_;  ///< and zeros, to a whole number of eights
  std::vector<float> past_;  ///< every sample twice: the last ones always lie in one piece
  std::size_t write_ = 0;
  std::size_t phase_ = 0;
};

}  // namespace hushmill::signal
