// The steady tone of a microphone check: when it came, how high it is, and whether it is still as loud at its end.
//
// A tenth of a second a step; the strongest line from 150 to 6000 Hz counts as the tone while it holds half of the sound's
// power and stands 10 dB over the room. Nothing is allocated after construction.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "signal/spectrum.hpp"

namespace hushmill::listen {

/// What became of the longest tone so far.
struct HeardTone {
  double hz = 0;
  double start_s = 0;
  double lasted_s = 0;   ///< so far
  double dbfs = 0;       ///< when it began
  double change_db = 0;  ///< level of its last steps less that of its first
  bool goes_on = false;
};

class ToneTrial {
 public:
  explicit ToneTrial(double sample_rate_hz);

  /// Samples that a step looks at.
  std::size_t needed_samples() const noexcept { return spectrum_.size_samples(); }
  /// The newest needed_samples(), every tenth of a second. `room_power`: a full-scale sine has 1.
  void process(std::span<const float> newest, double end_s, double room_power) noexcept;
  /// The longest tone, if one lasted half a second.
  const std::optional<HeardTone>& tone() const noexcept { return longest_; }

 private:
  void end_tone() noexcept;

  signal::Spectrum spectrum_;
  std::optional<HeardTone> now_;
  double first_db_ = -200, last_db_ = -200, before_last_db_ = -200;
  int steps_ = 0;
  std::optional<HeardTone> longest_;
};

}  // namespace hushmill::listen
