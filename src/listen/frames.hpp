// Brings the sound to the working rate (20 to 42 kHz), keeps the last moments of it in one piece, and counts the hops.
//
// All analysis runs once a hop (about 10 ms) on frames that end at the newest sample. Delay: the decimator's only.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "signal/decimator.hpp"

namespace hushmill::listen {

class Frames {
 public:
  /// `longest_s`: the longest frame that will be asked for.
  Frames(double sample_rate_hz, double longest_s);

  /// Takes one input sample; true when it completes a hop.
  bool push(float sample) noexcept;
  /// The last `size` working samples in one piece, oldest first; zeros stand for what was before the start.
  std::span<const float> last(std::size_t size) const noexcept;

  double working_rate_hz() const noexcept { return working_rate_hz_; }
  double hop_s() const noexcept { return static_cast<double>(hop_samples_) / working_rate_hz_; }
  std::size_t hop_samples() const noexcept { return hop_samples_; }

 private:
  signal::Decimator decimator_;
  double working_rate_hz_;
  std::size_t hop_samples_;
  std::size_t in_hop_ = 0;
  std::size_t size_;
  std::vector<float> past_;  ///< every sample twice, size_ apart, so that the last ones lie in one piece
  std::size_t write_ = 0;
};

}  // namespace hushmill::listen
