#include "advise/candidate.hpp"

#include <algorithm>
#include <cmath>

#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr double kPresent = 0.005;  // relative: a step this near the present speed changes nothing

// Nearest step of the knob that stays inside its range and the limits; the plain nearest one when no step does.
double knob_step(const Question& question, double override_percent, const SpeedWindow& window) noexcept {
  const double step_percent = question.knob_step_percent;
  const double base_rpm = programmed_rpm(question);
  // Where the range was not told it is the usual one, widened to where the knob stands.
  const double present_percent = 100.0 * question.spindle_rpm / base_rpm;
  const double least_percent = std::max(question.knob_min_percent.value_or(std::min(kKnobMinPercent, present_percent)), window.low_rpm / base_rpm * 100.0);
  const double most_percent = std::min(question.knob_max_percent.value_or(std::max(kKnobMaxPercent, present_percent)), window.high_rpm / base_rpm * 100.0);
  const double nearest = std::round(override_percent / step_percent) * step_percent;
  const double lowest = std::ceil(least_percent / step_percent - 1e-9) * step_percent;
  const double highest = std::floor(most_percent / step_percent + 1e-9) * step_percent;
  if (lowest > highest) return nearest;
  return std::clamp(nearest, lowest, highest);
}

}  // namespace

double programmed_rpm(const Question& question) noexcept {
  return question.programmed_rpm > 0 ? question.programmed_rpm : question.spindle_rpm;
}

Candidate candidate_at(const Question& question, const SpeedWindow& window, double spindle_rpm, int lobe,
                       double width_from_rpm, double width_to_rpm) noexcept {
  const double base_rpm = programmed_rpm(question);
  Candidate candidate;
  candidate.spindle_rpm = spindle_rpm;
  candidate.override_percent = 100.0 * spindle_rpm / base_rpm;
  candidate.knob_percent = knob_step(question, candidate.override_percent, window);
  candidate.knob_rpm = base_rpm * candidate.knob_percent / 100.0;
  candidate.width_from_rpm = width_from_rpm;
  candidate.width_to_rpm = width_to_rpm;
  candidate.knob_leaves_pocket =
      candidate.knob_rpm < width_from_rpm || candidate.knob_rpm > width_to_rpm || !window.holds(candidate.knob_rpm) ||
      std::abs(candidate.knob_rpm / question.spindle_rpm - 1) < kPresent ||
      candidate.knob_percent < question.knob_min_percent.value_or(kKnobMinPercent) - 1e-9 ||
      candidate.knob_percent > question.knob_max_percent.value_or(kKnobMaxPercent) + 1e-9;
  if (question.feed_mm_min)
    candidate.feed_mm_min = cutting::feed_keeping_chip_load(*question.feed_mm_min, base_rpm, spindle_rpm);
  if (question.diameter_mm) candidate.surface_m_min = cutting::surface_speed_m_min(*question.diameter_mm, spindle_rpm);
  candidate.chip_load_ratio = base_rpm / spindle_rpm;
  candidate.lobe = lobe;
  candidate.plain_spindle_rpm = cutting::in_phase_rpm(question.chatter_hz, question.flutes, lobe);
  return candidate;
}

}  // namespace hushmill::advise
