// Follows two tones that lie close together, by sound alone: simulated forks or real ones.
//
// The strongest tone between 100 and 1600 Hz is mixed down and thinned out; what is within 30 Hz of it is taken for one
// or two decaying tones by the shift of its signal subspace (tap/subspace.hpp), over the last 1.5 s but not across a
// strike. Two tones are named where they explain the sound far better than one, and none where a twentieth of the power
// stays unexplained (a third tone, or one that wanders). Looks four times a second; delay: half the window. Allocates.
// One thread.
#pragma once

#include <array>
#include <complex>
#include <optional>
#include <span>
#include <vector>

#include "lessons/scene.hpp"
#include "signal/decimator.hpp"

namespace hushmill::lessons {

class TwoTones {
 public:
  /// Sample rate: a multiple of 4000 Hz.
  explicit TwoTones(double sample_rate_hz);

  void process(std::span<const float> sound);
  /// What was heard at the last look; none while it is too quiet or too short.
  const std::optional<HeardTones>& tones() const noexcept { return tones_; }

 private:
  void look();
  std::vector<std::complex<double>> baseband(std::size_t from, double centre_hz) const;

  signal::Decimator decimator_;
  std::vector<float> sound_;      // at kRateHz, the last seconds
  std::size_t to_look_ = 0;       // samples until the next look
  std::size_t since_strike_ = 0;  // samples
  double block_power_ = 0;
  std::size_t in_block_ = 0, at_recent_ = 0;
  std::array<double, 40> recent_{};  // power of the last blocks, 2 s
  std::optional<HeardTones> tones_;
};

}  // namespace hushmill::lessons
