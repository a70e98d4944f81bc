#include "advise/choose.hpp"

#include <algorithm>
#include <cmath>

#include "advise/candidate.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr double kNoChange = 0.01;
constexpr double kSpacing = 1.012;  // ratio between speeds that are examined
constexpr std::size_t kExaminedFree = 24;
constexpr std::size_t kExaminedPerSide = 8;
constexpr std::size_t kExaminedKnob = 7;
constexpr double kDistanceCost = 0.05;     // per unit of |ln(speed ratio)|: only decides between near-equals
constexpr double kUnknownLimitCost = 0.6;  // the same where no limit was given on that side: who knows what it stands
constexpr double kLowerFirst = 0.02;       // common practice, no published source
constexpr double kKnobShare = 0.08;        // worth of a knob step nearby that is quiet too

bool meets_other_mode(const Question& question, double rpm, double natural_hz) {
  constexpr double kSameMode = 0.07;
  constexpr double kMeets = 0.02;
  const double tooth_hz = cutting::tooth_passing_hz(rpm, question.flutes);
  for (const Tap& tap : question.taps) {
    if (std::abs(std::log(tap.hz / natural_hz)) < kSameMode) continue;
    for (int harmonic = 1; harmonic <= 3; ++harmonic)
      if (std::abs(harmonic * tooth_hz / tap.hz - 1.0) < kMeets) return true;
  }
  return false;
}

double distance_cost(const Question& question, const SpeedWindow& window, double rpm) {
  const bool up = rpm > question.spindle_rpm;
  const bool limit_known = up ? !window.high_by.empty() : !window.low_by.empty();
  return (limit_known ? kDistanceCost : kUnknownLimitCost) * std::abs(std::log(rpm / question.spindle_rpm));
}

// The likeliest speeds of a list by the averaged lobes, none closer than kSpacing to another.
std::vector<double> most_promising(const Belief& belief, std::vector<double> speeds, std::size_t most) {
  std::stable_sort(speeds.begin(), speeds.end(),
                   [&](double a, double b) { return belief.quiet_at(a) > belief.quiet_at(b); });
  std::vector<double> picked;
  for (const double rpm : speeds) {
    if (picked.size() == most) break;
    const bool close = std::any_of(picked.begin(), picked.end(),
                                   [&](double p) { return std::max(p, rpm) / std::min(p, rpm) < kSpacing; });
    if (!close) picked.push_back(rpm);
  }
  return picked;
}

}  // namespace

std::vector<double> knob_speeds(const Question& question, const SpeedWindow& window) {
  const double base_rpm = programmed_rpm(question);
  const double step = question.knob_step_percent;
  const double low = std::max(question.knob_min_percent.value_or(50.0), 100.0 * window.low_rpm / base_rpm);
  const double high = std::min(question.knob_max_percent.value_or(150.0), 100.0 * window.high_rpm / base_rpm);
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
  std::vector<double> below;
  std::vector<double> above;
  for (int i = 0; i < belief.grid().size; ++i) {
    const double rpm = std::clamp(belief.grid().rpm(i), window.low_rpm, window.high_rpm);
    if (allowed(rpm)) (rpm < question.spindle_rpm ? below : above).push_back(rpm);
  }
  std::vector<double> steps;
  for (const double rpm : knob_speeds(question, window))
    if (allowed(rpm)) steps.push_back(rpm);

  std::vector<double> both = below;
  both.insert(both.end(), above.begin(), above.end());
  std::vector<double> examined = most_promising(belief, both, kExaminedFree);
  for (const auto& side : {below, above})
    for (const double rpm : most_promising(belief, side, kExaminedPerSide)) examined.push_back(rpm);
  std::sort(examined.begin(), examined.end());
  examined.erase(std::unique(examined.begin(), examined.end()), examined.end());
  const std::size_t free_count = examined.size();
  for (const double rpm : most_promising(belief, steps, kExaminedKnob)) examined.push_back(rpm);
  const std::vector<double> chance = belief.examine(examined);

  Choice choice;
  const double base_rpm = programmed_rpm(question);
  for (std::size_t i = 0; i < examined.size(); ++i) {
    Spot spot{examined[i], chance[i], 0};
    spot.score = spot.likelihood - distance_cost(question, window, spot.spindle_rpm);
    if (spot.spindle_rpm < question.spindle_rpm) spot.score += kLowerFirst;
    if (i >= free_count) {
      choice.knob.push_back(spot);
      continue;
    }
    const double step_rpm = base_rpm * question.knob_step_percent / 100.0;
    const double nearest_step = std::round(spot.spindle_rpm / step_rpm) * step_rpm;
    if (window.holds(nearest_step)) spot.score += kKnobShare * belief.quiet_at(nearest_step);
    (spot.spindle_rpm < question.spindle_rpm ? choice.lower : choice.higher).push_back(spot);
  }
  for (auto* list : {&choice.lower, &choice.higher, &choice.knob})
    std::stable_sort(list->begin(), list->end(), [](const Spot& a, const Spot& b) { return a.score > b.score; });
  return choice;
}

}  // namespace hushmill::advise
