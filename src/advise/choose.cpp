#include "advise/choose.hpp"

#include <algorithm>
#include <cmath>

#include "advise/candidate.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr double kNoChange = 0.01;
constexpr double kDistanceCost = 0.05;     // per unit of |ln(speed ratio)|: only decides between near-equals
// The same where no limit was given on that side: upward nobody knows what it stands, downward little can happen.
constexpr double kUnknownUpperCost = 0.6;
constexpr double kUnknownLowerCost = 0.2;
constexpr double kLowerFirst = 0.02;       // common practice, no published source
constexpr double kKnobShare = 0.03;        // worth of a knob step nearby that is quiet too
constexpr double kProven = 0.1;            // worth of a speed that has held on this cut: no model knows it better

// A pocket lies beside the speed at which tooth passing meets the very mode that chatters; there it may run loud.
constexpr double kLoudCost = 0.06;
constexpr double kOnTap = 0.01;

double distance_cost(const Question& question, const SpeedWindow& window, double rpm) {
  const bool up = rpm > question.spindle_rpm;
  const bool limit_known = up ? !window.high_by.empty() : !window.low_by.empty();
  const double unknown_cost = up ? kUnknownUpperCost : kUnknownLowerCost;
  return (limit_known ? kDistanceCost : unknown_cost) * std::abs(std::log(rpm / question.spindle_rpm));
}

}  // namespace

bool same_mode(const Tap& tap, double natural_hz) noexcept {
  constexpr double kSameMode = 0.07;
  return std::abs(std::log(tap.hz / natural_hz)) < kSameMode;
}

bool proven(const Question& question, double rpm) noexcept {
  constexpr double kThatSpeed = 0.005;
  bool held = false;
  for (const Trial& trial : question.tried) {
    if (std::abs(trial.spindle_rpm / rpm - 1.0) > kThatSpeed) continue;
    if (trial.outcome != Outcome::held) return false;
    held = held || std::abs(trial.spindle_rpm / rpm - 1.0) < 1e-6;
  }
  return held;
}

bool meets_other_mode(const Question& question, double rpm, double natural_hz) noexcept {
  constexpr double kMeets = 0.02;
  const double tooth_hz = cutting::tooth_passing_hz(rpm, question.flutes);
  for (const Tap& tap : question.taps) {
    if (same_mode(tap, natural_hz)) continue;
    for (int harmonic = 1; harmonic <= kForcedHarmonics; ++harmonic)
      if (std::abs(harmonic * tooth_hz / tap.hz - 1.0) < kMeets) return true;
  }
  return false;
}

int harmonic_on_tap(const Question& question, double spindle_rpm) noexcept {
  const double tooth_hz = cutting::tooth_passing_hz(spindle_rpm, question.flutes);
  for (const Tap& tap : question.taps)
    for (int harmonic = 1; harmonic <= kForcedHarmonics; ++harmonic)
      if (std::abs(harmonic * tooth_hz / tap.hz - 1.0) < kOnTap) return harmonic;
  return 0;
}

std::vector<double> knob_speeds(const Question& question, const SpeedWindow& window) {
  const double base_rpm = programmed_rpm(question);
  const double step = question.knob_step_percent;
  const double low = std::max(question.knob_min_percent.value_or(kKnobMinPercent), 100.0 * window.low_rpm / base_rpm);
  const double high = std::min(question.knob_max_percent.value_or(kKnobMaxPercent), 100.0 * window.high_rpm / base_rpm);
  std::vector<double> speeds;
  constexpr int kMostSteps = 1000;
  for (double k = std::ceil(low / step - 1e-9); k * step <= high + 1e-9 && speeds.size() < kMostSteps; k += 1)
    speeds.push_back(std::clamp(base_rpm * k * step / 100.0, window.low_rpm, window.high_rpm));
  return speeds;
}

Choice choose(const Question& question, const SpeedWindow& window, const Belief& belief, double natural_hz) {
  const auto allowed = [&](double rpm) {
    return window.holds(rpm) && std::abs(rpm / question.spindle_rpm - 1.0) >= kNoChange &&
           !meets_other_mode(question, rpm, natural_hz);
  };
  Choice choice;
  const double base_rpm = programmed_rpm(question);
  const auto spot_at = [&](double rpm) {
    Spot spot{rpm, belief.quiet_at(rpm), 0};
    spot.score = spot.likelihood - distance_cost(question, window, rpm);
    if (harmonic_on_tap(question, rpm) > 0) spot.score -= kLoudCost;
    if (rpm < question.spindle_rpm) spot.score += kLowerFirst;
    if (proven(question, rpm)) spot.score += kProven;
    return spot;
  };
  for (int i = 0; i < belief.grid().size; ++i) {
    const double rpm = std::clamp(belief.grid().rpm(i), window.low_rpm, window.high_rpm);
    if (!allowed(rpm)) continue;
    Spot spot = spot_at(rpm);
    const double step_rpm = base_rpm * question.knob_step_percent / 100.0;
    const double nearest_step = std::round(rpm / step_rpm) * step_rpm;
    if (window.holds(nearest_step)) spot.score += kKnobShare * belief.quiet_at(nearest_step);
    (rpm < question.spindle_rpm ? choice.lower : choice.higher).push_back(spot);
  }
  for (const Trial& trial : question.tried)  // between the speeds of the grid
    if (proven(question, trial.spindle_rpm) && allowed(trial.spindle_rpm))
      (trial.spindle_rpm < question.spindle_rpm ? choice.lower : choice.higher).push_back(spot_at(trial.spindle_rpm));
  for (const double rpm : knob_speeds(question, window))
    if (allowed(rpm)) choice.knob.push_back(spot_at(rpm));
  for (auto* list : {&choice.lower, &choice.higher, &choice.knob})
    std::stable_sort(list->begin(), list->end(), [](const Spot& a, const Spot& b) { return a.score > b.score; });
  return choice;
}

}  // namespace hushmill::advise
