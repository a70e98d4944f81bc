// The natural frequency behind a chatter frequency, by phase and damping of one mode on its stability boundary.
//
// With p = frac(f_c / f_tooth) and damping ratio z: t = tan(pi (1 - p)), r = z t + sqrt(1 + z^2 t^2), f_n = f_c / r
// (derived: r solves (r^2 - 1) / (2 z r) = t). Near p = 1/2 the correction has no bound: the answer is then a range.
#pragma once

#include <optional>

namespace hushmill::advise {

/// Damping of tool modes when no tap test was made: lognormal (a working assumption, no published source).
inline constexpr double kDampingMedian = 0.024;
inline constexpr double kDampingLnSd = 0.55;
/// Spread that is left when a tap test gave the damping (a working assumption, no published source).
inline constexpr double kTappedDampingLnSd = 0.2;

/// A natural frequency with the spread that comes from not knowing the damping (about one standard deviation each way).
struct NaturalFrequency {
  double low_hz = 0;
  double middle_hz = 0;
  double high_hz = 0;
  bool chatter_above = true;  ///< the chatter frequency lies above the natural one (p between 1/2 and 1)
  bool vague = false;         ///< p near 1/2: the range spans both sides, and the middle means little
};

/// f_c / f_n of one mode on the stability boundary at tooth phase p (0 to 1). Not finite at p = 1/2.
double chatter_over_natural(double phase, double damping_ratio) noexcept;

/// Finite, positive inputs; checked by the caller. `damping_ratio` from a tap test, else the default above.
NaturalFrequency natural_frequency(double chatter_hz, double tooth_hz, std::optional<double> damping_ratio) noexcept;

}  // namespace hushmill::advise
