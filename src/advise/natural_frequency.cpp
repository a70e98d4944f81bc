#include "advise/natural_frequency.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hushmill::advise {

namespace {
// Closer to p = 1/2 than this the sign of the correction itself is doubtful (saturated chatter moves the phase).
constexpr double kVaguePhase = 0.05;
}  // namespace

double chatter_over_natural(double phase, double damping_ratio) noexcept {
  const double shift = damping_ratio * std::tan(std::numbers::pi * (1.0 - phase));
  return shift + std::sqrt(1.0 + shift * shift);
}

NaturalFrequency natural_frequency(double chatter_hz, double tooth_hz, std::optional<double> damping_ratio) noexcept {
  const double waves = chatter_hz / tooth_hz;
  const double phase = waves - std::floor(waves);
  const double spread = std::exp(damping_ratio ? kTappedDampingLnSd : kDampingLnSd);
  const double damping = damping_ratio.value_or(kDampingMedian);

  NaturalFrequency found;
  found.chatter_above = phase >= 0.5;
  found.vague = std::abs(phase - 0.5) < kVaguePhase;
  // Held away from 1/2, where the formula has no bound.
  const double bounded = found.chatter_above ? std::max(phase, 0.5 + kVaguePhase) : std::min(phase, 0.5 - kVaguePhase);
  found.middle_hz = chatter_hz / chatter_over_natural(bounded, damping);
  const double little = chatter_hz / chatter_over_natural(bounded, damping / spread);
  const double much = chatter_hz / chatter_over_natural(bounded, damping * spread);
  found.low_hz = std::min(little, much);
  found.high_hz = std::max(little, much);
  if (found.vague) {
    const double other_side = chatter_hz / chatter_over_natural(1.0 - bounded, damping * spread);
    found.low_hz = std::min(found.low_hz, other_side);
    found.high_hz = std::max(found.high_hz, other_side);
  }
  return found;
}

}  // namespace hushmill::advise
