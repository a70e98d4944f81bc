#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "advise/advice.hpp"
#include "advise/candidate.hpp"
#include "advise/check_question.hpp"
#include "advise/natural_frequency.hpp"
#include "advise/one_mode_lobes.hpp"
#include "advise/speed_window.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr double kWorthwhileGain = 1.5;  // a pocket is where the limit is this much over the lowest one
constexpr double kGridStep = 1.002;
constexpr double kSmallestChange = 0.01;  // of the speed: less is no change

// The same mode with little, middling and much damping; each has its own natural frequency.
using Hypotheses = std::array<OneMode, 5>;

Hypotheses hypotheses(const Question& question, const NaturalFrequency& natural) noexcept {
  // Quantiles at 10, 30, 50, 70 and 90 % of a normal spread.
  constexpr std::array<double, 5> kDeviates{-1.2816, -0.5244, 0.0, 0.5244, 1.2816};
  const double sd = question.damping_ratio ? kTappedDampingLnSd : kDampingLnSd;
  const double tooth_hz = cutting::tooth_passing_hz(question.spindle_rpm, question.flutes);
  Hypotheses modes;
  for (std::size_t i = 0; i < modes.size(); ++i) {
    const double damping = question.damping_ratio.value_or(kDampingMedian) * std::exp(sd * kDeviates[i]);
    const NaturalFrequency mine = natural_frequency(question.chatter_hz, tooth_hz, damping);
    modes[i] = {mine.middle_hz, damping, natural.chatter_above};
  }
  return modes;
}

double mean_log_gain(const Hypotheses& modes, int flutes, double spindle_rpm) noexcept {
  double sum = 0;
  for (const OneMode& mode : modes) sum += std::log(std::min(depth_gain(mode, flutes, spindle_rpm), 4.0));
  return sum / static_cast<double>(modes.size());
}

std::optional<Candidate> best_in_pocket(const Question& question, const SpeedWindow& window, const Hypotheses& modes,
                                        int lobe, double from_rpm, double to_rpm) {
  const double natural_hz = modes[modes.size() / 2].natural_hz;
  const double pocket_low = 60.0 * natural_hz / (question.flutes * (lobe + 0.5));
  const double pocket_high = 60.0 * natural_hz / (question.flutes * (lobe - 0.5));
  const double low = std::max({pocket_low, from_rpm, window.low_rpm});
  const double high = std::min({pocket_high, to_rpm, window.high_rpm});
  if (!(low < high)) return std::nullopt;

  double best_rpm = 0;
  double best_gain = 0;
  double width_from = 0;
  double width_to = 0;
  for (double rpm = low; rpm <= high; rpm *= kGridStep) {
    const double gain = mean_log_gain(modes, question.flutes, rpm);
    if (gain > best_gain) best_gain = gain, best_rpm = rpm;
    if (gain < std::log(kWorthwhileGain)) continue;
    if (width_from == 0) width_from = rpm;
    width_to = rpm;
  }
  if (best_gain <= 0) return std::nullopt;
  if (width_from == 0) width_from = width_to = best_rpm;
  Candidate candidate = candidate_at(question, window, best_rpm, lobe, width_from, width_to);
  candidate.depth_gain = std::exp(best_gain);
  return candidate;
}

std::string reason_for(const Advice& advice, const SpeedWindow& window) {
  if (!advice.prefer) {
    const bool closed = !window.low_by.empty() || !window.high_by.empty();
    return closed ? "No pocket between the limits: change depth, engagement, stick-out or hold instead."
                  : "No pocket found: change depth, engagement, stick-out or hold instead.";
  }
  const bool lower = advice.prefer == Direction::lower;
  const Candidate& first = lower ? *advice.lower : *advice.higher;
  std::array<char, 160> line{};
  const char* why = !advice.lower || !advice.higher ? "it is the only pocket inside the limits"
                    : lower                         ? "it helps as much and is the gentler move"
                                                    : "the lower pocket is too shallow to rely on";
  std::snprintf(line.data(), line.size(), "Try %.0f rev/min (%s) first: %s.", first.spindle_rpm,
                lower ? "lower" : "higher", why);
  return line.data();
}

}  // namespace

Advice advise(const Question& question) {
  check_question(question);
  const SpeedWindow window = speed_window(question);
  const double tooth_hz = cutting::tooth_passing_hz(question.spindle_rpm, question.flutes);
  const NaturalFrequency natural = natural_frequency(question.chatter_hz, tooth_hz, question.damping_ratio);
  const Hypotheses modes = hypotheses(question, natural);

  const double waves = natural.middle_hz / tooth_hz;
  const int low_lobe = std::max(1, static_cast<int>(std::ceil(waves)));
  const int high_lobe = static_cast<int>(std::floor(waves));
  const double just_below = question.spindle_rpm * (1.0 - kSmallestChange);
  const double just_above = question.spindle_rpm * (1.0 + kSmallestChange);

  Advice advice;
  advice.lower = best_in_pocket(question, window, modes, low_lobe, kLowestRpm, just_below);
  if (high_lobe >= 1) advice.higher = best_in_pocket(question, window, modes, high_lobe, just_above, kHighestRpm);
  if (advice.lower && advice.higher) {
    // Lower first when about equal: common practice, no published source.
    const bool lower_helps =
        advice.lower->depth_gain >= kWorthwhileGain || advice.lower->depth_gain >= 0.8 * advice.higher->depth_gain;
    advice.prefer = lower_helps ? Direction::lower : Direction::higher;
  } else if (advice.lower || advice.higher) {
    advice.prefer = advice.lower ? Direction::lower : Direction::higher;
  }
  advice.reason = reason_for(advice, window);
  return advice;
}

}  // namespace hushmill::advise
