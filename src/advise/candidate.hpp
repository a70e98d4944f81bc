// Everything about one speed that does not depend on how it was chosen: override, knob, feed, chip load, lobe.
#pragma once

#include "advise/advice.hpp"
#include "advise/speed_window.hpp"

namespace hushmill::advise {

/// Reach of the knob when none was given (common practice, no published source).
inline constexpr double kKnobMinPercent = 50;
inline constexpr double kKnobMaxPercent = 150;

/// Speed the override refers to.
double programmed_rpm(const Question& question) noexcept;

/// A candidate at a speed whose pocket reaches from `width_from_rpm` to `width_to_rpm`. Likelihood and gain stay unset.
Candidate candidate_at(const Question& question, const SpeedWindow& window, double spindle_rpm, int lobe,
                       double width_from_rpm, double width_to_rpm) noexcept;

}  // namespace hushmill::advise
