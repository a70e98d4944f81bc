// Mean spectrum over some kind of cut, and the levels read from it: what stands at the chatter tone and its family.
//
// The tone is looked for as the strongest line off the tooth multiples within half a tooth spacing of where it sang, so
// that it is found again after a change of speed, and a cut without chatter shows what is left there at most (runout
// included). Not for the audio thread: allocates at the first row.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "trial/trial.hpp"

namespace hushmill::trial {

class LevelSums {
 public:
  /// One row of `row_s` seconds: a spectrum in dB, a full-scale sine 0, and the sound's mean power in dB.
  void add(std::span<const float> spectrum_dbfs, double bin_hz, double total_dbfs, double row_s);
  /// None when less than a fifth of a second was added or `tone_hz` is not positive, or where the teeth
  /// stand too close to look between them. `room_dbfs` may be empty.
  std::optional<Levels> levels(double tone_hz, double tooth_hz, std::span<const float> room_dbfs) const;
  double over_s() const noexcept { return over_s_; }

 private:
  std::vector<double> power_;  // summed
  double bin_hz_ = 0;
  double rows_ = 0;
  double over_s_ = 0;
  double total_ = 0;
};

}  // namespace hushmill::trial
