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
constexpr std::size_t kExaminedKnob = 14;
constexpr double kBlur = 0.012;  // of ln(speed): a speed is worth what its neighbours are, so luck among guesses counts less
constexpr double kDistanceCost = 0.05;     // per unit of |ln(speed ratio)|: only decides between near-equals
// The same where no limit was given on that side: upward nobody knows what it stands, downward little can happen.
constexpr double kUnknownUpperCost = 0.6;
constexpr double kUnknownLowerCost = 0.2;
constexpr double kLowerFirst = 0.02;       // common practice, no published source
constexpr double kKnobShare = 0.08;        // worth of a knob step nearby that is quiet too

bool meets_other_mode(const Question& question, double rpm, double natural_hz) {
  constexpr double kMeets = 0.02;
  const double tooth_hz = cutting::tooth_passing_hz(rpm, question.flutes);
  for (const Tap& tap : question.taps) {
    if (same_mode(tap, natural_hz)) continue;
    for (int harmonic = 1; harmonic <= kForcedHarmonics; ++harmonic)
      if (std::abs(harmonic * tooth_hz / tap.hz - 1.0) < kMeets) return true;
  }
  return false;
}

// A pocket lies beside the speed at which tooth passing meets the very mode that chatters; there it may run loud.
constexpr double kLoudCost = 0.06;
constexpr double kOnTap = 0.01;

double distance_cost(const Question& question, const SpeedWindow& window, double rpm) {
  const bool up = rpm > question.spindle_rpm;
  const bool limit_known = up ? !window.high_by.empty() : !window.low_by.empty();
  const double unknown_cost = up ? kUnknownUpperCost : kUnknownLowerCost;
  return (limit_known ? kDistanceCost : unknown_cost) * std::abs(std::log(rpm / question.spindle_rpm));
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

bool same_mode(const Tap& tap, double natural_hz) noexcept {
  constexpr double kSameMode = 0.07;
  return std::abs(std::log(tap.hz / natural_hz)) < kSameMode;
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
  const auto blurred = [&](std::size_t i) {
    double sum = 0;
    double weights = 0;
    for (std::size_t k = 0; k < examined.size(); ++k) {
      const double miss = std::log(examined[k] / examined[i]) / kBlur;
      const double weight = std::exp(-0.5 * miss * miss);
      sum += weight * chance[k];
      weights += weight;
    }
    return sum / weights;
  };

  Choice choice;
  const double base_rpm = programmed_rpm(question);
  for (std::size_t i = 0; i < examined.size(); ++i) {
    Spot spot{examined[i], blurred(i), 0};
    spot.score = spot.likelihood - distance_cost(question, window, spot.spindle_rpm);
    if (harmonic_on_tap(question, spot.spindle_rpm) > 0) spot.score -= kLoudCost;
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
