#include "advise/one_mode_lobes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "advise/natural_frequency.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

// Phase p at which lobe `whole` crosses this speed: f_n T r(p) = whole + p. The left side falls and the right side
// rises with p, so there is one crossing in (low, low + 1/2), found by halving.
double crossing_phase(const OneMode& mode, double natural_waves, int whole) noexcept {
  double low = mode.chatter_above ? 0.5 : 0.0;
  double high = low + 0.5;
  for (int i = 0; i < 60; ++i) {
    const double p = 0.5 * (low + high);
    const bool before = natural_waves * chatter_over_natural(p, mode.damping_ratio) > whole + p;
    (before ? low : high) = p;
  }
  return 0.5 * (low + high);
}

// Limit of the lobe over the lowest limit, 2 k z (1 ± z) / K: in terms of the phase, r / (|sin 2 pi p| (1 ± z)).
double gain_at(const OneMode& mode, double phase) noexcept {
  const double sign = mode.chatter_above ? 1.0 : -1.0;
  const double swing = std::abs(std::sin(2.0 * std::numbers::pi * phase)) * (1.0 + sign * mode.damping_ratio);
  const double ratio = chatter_over_natural(phase, mode.damping_ratio);
  return swing * kMostGain > ratio ? ratio / swing : kMostGain;
}

}  // namespace

double depth_gain(const OneMode& mode, int flutes, double spindle_rpm) noexcept {
  const double waves = cutting::waves_per_tooth(mode.natural_hz, spindle_rpm, flutes);
  // Above: only lobes with whole + 1 > f_n T cross this speed; below: only those with whole < f_n T.
  const int nearest = static_cast<int>(mode.chatter_above ? std::floor(waves) : std::ceil(waves) - 1.0);
  const int step = mode.chatter_above ? 1 : -1;
  double gain = kMostGain;
  for (int i = 0; i < 3; ++i) {
    const int whole = nearest + i * step;
    if (whole < 0) break;
    gain = std::min(gain, gain_at(mode, crossing_phase(mode, waves, whole)));
  }
  return std::max(gain, 1.0);
}

}  // namespace hushmill::advise
