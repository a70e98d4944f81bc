#include "advise/remedies.hpp"

#include <algorithm>
#include <cmath>

#include "advise/number_text.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

// Pitch difference that makes the waves of neighbouring teeth cancel: alternating 3 n / f degrees, else n-th part of
// 6 n / (N f) (derived from E. Budak, "An Analytical Design Method for Milling Cutters With Nonconstant Pitch to
// Increase Stability", 2003, from memory).
std::string pitch_line(const Question& question) {
  const double alternating = 3.0 * question.spindle_rpm / question.chatter_hz;
  const double linear = 6.0 * question.spindle_rpm / (question.flutes * question.chatter_hz);
  const bool even = question.flutes % 2 == 0;
  return "Use a cutter with unequal pitch: for this tone about " + fixed(even ? alternating : linear, 1) +
         " degrees between " + (even ? "alternate gaps." : "one gap and the next.");
}

}  // namespace

std::optional<double> quiet_depth_factor(const Belief& belief, double low_rpm, double high_rpm) {
  constexpr double kLikely = 0.8;
  for (int percent = 95; percent >= 20; percent -= 5) {
    const std::vector<double> chance = belief.quiet_with_depth(percent / 100.0);
    for (int i = 0; i < belief.grid().size; ++i) {
      const double rpm = belief.grid().rpm(i);
      if (rpm >= low_rpm && rpm <= high_rpm && chance[static_cast<std::size_t>(i)] >= kLikely) return percent / 100.0;
    }
  }
  return std::nullopt;
}

std::vector<Remedy> remedies_for(const Question& question, const Advice& advice) {
  std::vector<Remedy> list;
  if (std::any_of(question.tried.begin(), question.tried.end(),
                  [](const Trial& t) { return t.outcome == Outcome::returned; }))
    list.push_back(
        {Area::program, "Keep the engagement constant: the chatter came back where it rises, as in a corner."});
  if (advice.part_sings == true)
    list.push_back({Area::hold,
                    "Hold the part better: its own tone is the one that sings. Support under the cut, jaws as "
                    "long as the part, less overhang."});
  // The depth limit goes with the stiffness, and that of a bar with the cube of its length (F L^3 / 3 E I).
  if (advice.depth_factor) {
    const double factor = *advice.depth_factor;
    const std::string percent = fixed(100 * factor, 0) + " %";
    const std::string depth =
        question.depth_mm ? fixed(factor * *question.depth_mm, 2) + " mm (" + percent + ")" : percent + " of it";
    list.push_back({Area::program, "Take less depth: about " + depth + " is likely quiet at the best speed."});
    if (advice.part_sings != true)
      list.push_back({Area::tool, "Shorten the stick-out by about " + fixed(100 * (1 - std::cbrt(factor)), 0) +
                                      " %: stiffness goes with its cube, so this is worth as much."});
  } else {
    list.push_back(
        {Area::program, "Take far less depth: even a fifth of it is not surely quiet at any speed in reach."});
    list.push_back({Area::tool, "Shorten the stick-out: 20 % less makes the tool " + fixed(std::pow(0.8, -3), 1) +
                                    " times as stiff."});
  }
  if (question.radial_mm && question.diameter_mm) {
    const double angle = cutting::engaged_angle_rad(*question.radial_mm / *question.diameter_mm);
    const double wanted = advice.depth_factor.value_or(0.5);
    const double narrower_mm = 0.5 * *question.diameter_mm * (1 - std::cos(wanted * angle));
    list.push_back({Area::program, "Or take less width: " + fixed(narrower_mm, 2) + " mm keeps " +
                                       fixed(100 * wanted, 0) + " % of the engaged angle."});
  }
  if (question.flutes > 2)
    list.push_back({Area::tool, "Use " + std::to_string(question.flutes - 1) + " flutes instead of " +
                                    std::to_string(question.flutes) + ": the depth limit rises by about " +
                                    fixed(100.0 / (question.flutes - 1), 0) + " %."});
  if (!question.unequal_pitch && question.flutes > 1) list.push_back({Area::tool, pitch_line(question)});
  if (!advice.part_sings)
    list.push_back({Area::hold,
                    "Tap the tool and the part with the spindle stopped and locked out: the one whose tone lies within "
                    "a few percent of the chatter is the one to stiffen."});
  return list;
}

std::vector<std::string> cautions_for(const Question& question, const Advice& advice) {
  std::vector<std::string> list{
      "Advice only: shop rules, the makers' instructions and qualified people come first.",
      "Doors shut, guards on; never reach toward a turning spindle.",
      "Never above the lowest of the limits of spindle, holder and tool, or what their balance allows.",
  };
  if (advice.higher && !question.max_rpm && !question.tool_max_rpm && !question.holder_max_rpm)
    list.push_back("No upper limit was entered: check spindle, holder and tool before going faster.");
  if (advice.higher) list.push_back("Faster is hotter: mind the tool maker's surface speed for the material.");
  list.push_back("Controls ignore the override in tapping and threading.");
  return list;
}

}  // namespace hushmill::advise
