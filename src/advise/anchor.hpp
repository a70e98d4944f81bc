// Makes a guessed cut chatter at the frequency that was heard, so that no guess is wasted on other frequencies.
#pragma once

#include <optional>

#include "advise/flexible_cut.hpp"
#include "advise/lobe_curve.hpp"

namespace hushmill::advise {

/// Chatter heard at one speed.
struct Sighting {
  double spindle_rpm = 0;
  double chatter_hz = 0;
  std::optional<double> growth_per_s;
};

/// The unstable root of the cut at its depth, starting from a crossing of its lobes: angular frequency in the imaginary
/// part, growth in the real part, both in units of the first mode's angular frequency. None when it is lost.
std::optional<std::complex<double>> unstable_root(const FlexibleCut& cut, const Crossing& crossing, double depth,
                                                  double waves_of_first) noexcept;

/// Scales the cut to chatter at `chatter_hz` and sets first_mode_hz, depth and weight; `curve` is scratch space. False
/// when this cut cannot: then its other fields mean nothing.
bool anchor(FlexibleCut& cut, LobeCurve& curve, const Sighting& sighting, double chatter_hz, int flutes);

}  // namespace hushmill::advise
