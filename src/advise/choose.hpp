// Which of all speeds to try, from the chance of quiet at each.
#pragma once

#include <vector>

#include "advise/advice.hpp"
#include "advise/belief.hpp"
#include "advise/speed_window.hpp"

namespace hushmill::advise {

/// A speed with its chance of quiet.
struct Spot {
  double spindle_rpm = 0;
  double likelihood = 0;
  double score = 0;  ///< likelihood less a little for distance and for a knob that cannot stop there
};

/// Best first in every list.
struct Choice {
  std::vector<Spot> lower;
  std::vector<Spot> higher;
  std::vector<Spot> knob;  ///< whole steps of the knob, both ways, those beside the listed speeds among them
};

/// Steps of the knob inside window and knob range, as speeds.
std::vector<double> knob_speeds(const Question& question, const SpeedWindow& window);

/// Tooth harmonics strong enough to matter when they meet a mode.
inline constexpr int kForcedHarmonics = 3;

/// Within what damping and saturation may shift: the tapped mode is the one that sings at `natural_hz`.
bool same_mode(const Tap& tap, double natural_hz) noexcept;

/// Tooth harmonic, 1 to 3, that stands within one percent of a tapped mode at this speed; 0 when none does.
int harmonic_on_tap(const Question& question, double spindle_rpm) noexcept;

/// The tooth harmonics 1 to 3 of this speed meet a tapped mode other than the one that sings at `natural_hz`.
bool meets_other_mode(const Question& question, double rpm, double natural_hz) noexcept;

/// This very speed was tried and held every time.
bool proven(const Question& question, double rpm) noexcept;

/// Speeds within one percent of the present one are no change and left out; so are those whose tooth harmonics 1 to 3
/// meet a tapped mode other than the one that sings at `natural_hz`.
Choice choose(const Question& question, const SpeedWindow& window, const Belief& belief, double natural_hz);

}  // namespace hushmill::advise
