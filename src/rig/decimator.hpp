// From the inner rate to the sound card's: four signals side by side through one steep, linear-phase low-pass.
//
// Flat to 0.42 of the output rate, 80 dB down at 0.58 (Kaiser window, J.F. Kaiser 1974, design formulas from memory).
// Delay: half its length. Allocates in the constructor only. One thread.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

namespace hushmill::rig {

class Decimator {
 public:
  static constexpr std::size_t kSignals = 4;
  using Frame = std::array<float, kSignals>;

  /// `factor` inner samples make one.
  explicit Decimator(int factor);

  void push(const Frame& frame) noexcept;
  Frame filtered() const noexcept;
  double delay_inner_samples() const noexcept { return 0.5 * static_cast<double>(taps_.size() - 1); }

 private:
  std::vector<float> taps_;
  std::vector<Frame> ring_;  // twice the taps: every window of it lies in one piece
  std::size_t at_ = 0;
};

}  // namespace hushmill::rig
