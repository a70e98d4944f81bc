// The bound of an oracle: a detector that is told the chatter family and the moment from which on it may grow, and only
// has to see it. Two short frames running, a place of the family 9 dB over its own background. No real detector can
// know what it is told; the distance to it is what not knowing costs.
#pragma once

#include <optional>
#include <span>

namespace hushmill::bench {

struct Told {
  double rpm = 0;
  int flutes = 0;
  double chatter_hz = 0;
  double unstable_from_s = 0;
};

/// When the second of the two frames ends, seconds; none when it never sees the family.
std::optional<double> oracle_alarm_s(std::span<const float> sound, double rate_hz, const Told& told);

}  // namespace hushmill::bench
