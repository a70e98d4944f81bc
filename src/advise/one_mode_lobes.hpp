// Stability lobes of one mode, relative to their own lowest limit: how much deeper a speed lets the tool cut.
//
// Zero-order theory (Y. Altintas, E. Budak, "Analytical Prediction of Stability Lobes in Milling", 1995, from memory),
// one flexible direction. A mode that chatters above its natural frequency has its pockets just below the in-phase
// speeds, ending in a wall there; one that chatters below has them just above. Any thread.
#pragma once

namespace hushmill::advise {

struct OneMode {
  double natural_hz = 0;
  double damping_ratio = 0;
  bool chatter_above = true;  ///< sign of the directional factor
};

/// Depth limit at a speed over the lowest limit of the lobes; 1 or more, capped at kMostGain.
double depth_gain(const OneMode& mode, int flutes, double spindle_rpm) noexcept;

/// Close to a wall the lobes of one mode have no top; no real cut is that stiff.
inline constexpr double kMostGain = 20;

}  // namespace hushmill::advise
