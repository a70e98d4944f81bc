// The lines that a cut in good order makes: multiples of the tooth frequency and of the rotation frequency.
#pragma once

#include <algorithm>
#include <cmath>

#include "listen/verdict.hpp"

namespace hushmill::listen {

/// The comb of one moment.
struct Comb {
  double rotation_hz = 0;
  int flutes = 1;
  double relative_uncertainty = 0.01;  ///< of the speed, one standard deviation
  bool measured = false;
  bool trusted = false;  ///< measured, and no other speed or flute count fits better

  double tooth_hz() const noexcept { return rotation_hz * flutes; }
  /// How far off its multiple a line at `hz` may stand, seen in bins `bin_hz` wide.
  double tolerance_hz(double hz, double bin_hz) const noexcept {
    return 0.75 * bin_hz + (measured ? 2.0 : 1.5) * relative_uncertainty * hz;
  }
  /// Rotation multiples stand closer together than tooth multiples, so less is granted to them.
  double rotation_tolerance_hz(double hz, double bin_hz) const noexcept {
    return (measured ? 0.5 : 0.75) * bin_hz + (measured ? 2.0 : 1.5) * relative_uncertainty * hz;
  }
  /// Distance to the nearest multiple of the tooth frequency (orders below 1 count as order 1).
  double off_tooth_hz(double hz) const noexcept {
    return std::abs(hz - std::max(1.0, std::nearbyint(hz / tooth_hz())) * tooth_hz());
  }
  double off_rotation_hz(double hz) const noexcept {
    return std::abs(hz - std::max(1.0, std::nearbyint(hz / rotation_hz)) * rotation_hz);
  }
  bool on_tooth(double hz, double bin_hz) const noexcept { return off_tooth_hz(hz) <= tolerance_hz(hz, bin_hz); }
  bool on_rotation(double hz, double bin_hz) const noexcept { return off_rotation_hz(hz) <= tolerance_hz(hz, bin_hz); }
  /// hz folded on the tooth spacing: distance to the nearest multiple, 0 to half the spacing. f_c and its mirrors agree.
  double folded_hz(double hz) const noexcept {
    const double rest = std::fmod(hz, tooth_hz());
    return std::min(rest, tooth_hz() - rest);
  }
};

}  // namespace hushmill::listen
