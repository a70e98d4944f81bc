// Did listening begin in the middle of a cut that chatters?
//
// Whoever starts to listen because it squeals gives no room to be learned: teeth and squeal would become the room's sound, and all
// would be called steady. So for the first seconds the lines are looked at against the floor alone: where the teeth fit a speed and a
// family stands beside them (standing_family.hpp), that was never a room. Delay: some rows of the long window after it is full.
#pragma once

#include <span>

#include "listen/speed_fit.hpp"
#include "listen/standing_family.hpp"

namespace hushmill::listen {

class StartWatch {
 public:
  void expect(double spindle_rpm, int flutes) noexcept;

  /// Next row of the long window: lines that stand clear of the floor, strongest first; `past_s` since the start of the sound. True
  /// when it has become sure; nothing more is found after that, or after some seconds.
  bool process(std::span<const signal::Line> lines, double bin_hz, double past_s);

  bool over() const noexcept { return over_; }
  /// The speed that the teeth fit.
  const SpeedFit& speed() const noexcept { return speed_; }

 private:
  SpeedFit speed_;
  StandingFamily family_{StandingSettings{}};
  bool over_ = false;
};

}  // namespace hushmill::listen
