// Did listening begin in the middle of a cut that chatters?
//
// Whoever starts to listen because it squeals gives no room to be learned: teeth and squeal would become the room's sound, and all
// would be called steady. So for the first seconds the lines are looked at against the floor alone: where the teeth fit a speed and
// what stands beside them is one chatter family in row after row, that was never a room. A shop brings lines, but no family at the
// tooth spacing (family.hpp). Delay: some rows of the long window after it is full.
#pragma once

#include <span>
#include <vector>

#include "listen/family.hpp"
#include "listen/speed_fit.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

class StartWatch {
 public:
  void expect(double spindle_rpm, int flutes) noexcept;

  /// Next row of the long window: lines that stand clear of the floor, strongest first; `past_s` since the start of the sound. True
  /// when it has become sure; nothing more is found after that, or after kStartS.
  bool process(std::span<const signal::Line> lines, double bin_hz, double past_s);

  bool over() const noexcept { return over_; }
  /// The speed that the teeth fit.
  const SpeedFit& speed() const noexcept { return speed_; }

 private:
  bool sings(std::span<const signal::Line> lines, double bin_hz);

  SpeedFit speed_;
  std::vector<NewLine> beside_;
  std::vector<FamilyVote> votes_;
  double offset_hz_ = 0;
  double evidence_ = 0;
  double ambiguous_ = 0;
  int rows_ = 0;
  bool over_ = false;
};

}  // namespace hushmill::listen
