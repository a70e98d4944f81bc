// A number line laid on a stretch of pixels, and the round numbers to write beside it. Pure.
#pragma once

#include "dashboard/few.hpp"

namespace hushmill::dashboard {

/// Maps from..to onto 0..1, linear or logarithmic (then from > 0).
struct Axis {
  double from = 0;
  double to = 1;
  bool logarithmic = false;

  double share(double value) const noexcept;
  double value(double share) const noexcept;
  bool holds(double value) const noexcept { return value >= from && value <= to; }
};

struct Tick {
  double value = 0;
  double share = 0;  ///< place on the axis, 0 to 1
};

/// The room is a guard against silly input, never filled on a sound axis.
using Ticks = Few<Tick, 200>;

/// Smallest of 1, 2, 5 · 10^n that is at least `least`.
double round_step(double least) noexcept;
/// Multiples of a round step, at least `least_apart` (a share of the axis) from each other; on a logarithmic axis 1, 2
/// and 5 of every decade, thinned out to the same distance.
Ticks ticks(const Axis& axis, double least_apart);

/// The axis zoomed about the place `share` by `factor` (above 1 shows less), kept within `whole`.
Axis zoomed(const Axis& axis, double share, double factor, const Axis& whole) noexcept;
/// The axis moved by `shares` of its length, kept within `whole`.
Axis panned(const Axis& axis, double shares, const Axis& whole) noexcept;

}  // namespace hushmill::dashboard
