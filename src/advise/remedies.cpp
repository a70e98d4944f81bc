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

std::optional<double> quiet_depth_factor(const Belief& belief, const Advice& advice) {
  constexpr double kLikely = 0.8;
  if (!belief.known()) return std::nullopt;
  std::vector<double> speeds;
  for (const Candidate& candidate : advice.candidates) speeds.push_back(candidate.spindle_rpm);
  for (const auto& candidate : {advice.lower, advice.higher})
    if (candidate) speeds.push_back(candidate->spindle_rpm);
  const auto likely_at = [&](int percent) {
    const std::vector<double> chance = belief.quiet_with_depth(speeds, percent / 100.0);
    return std::any_of(chance.begin(), chance.end(), [](double c) { return c >= kLikely; });
  };
  constexpr int kStep = 5;
  int likely = 20;
  int unlikely = 100;
  if (!likely_at(likely)) return std::nullopt;
  while (unlikely - likely > kStep) {
    const int middle = (likely + unlikely) / (2 * kStep) * kStep;
    (likely_at(middle) ? likely : unlikely) = middle;
  }
  return likely / 100.0;
}

namespace {

// The cause that is known comes first, then what can be counted by its worth, then the rest in its order.
void rank(std::vector<Remedy>& list, std::size_t known_causes) {
  std::stable_sort(list.begin() + static_cast<std::ptrdiff_t>(known_causes), list.end(),
                   [](const Remedy& a, const Remedy& b) { return a.gain.value_or(0) > b.gain.value_or(0); });
}

std::string percent_text(double share) { return fixed(100 * share, 0) + " %"; }

}  // namespace

std::vector<Remedy> remedies_for(const Question& question, const Advice& advice) {
  std::vector<Remedy> list;
  if (std::any_of(question.tried.begin(), question.tried.end(),
                  [](const Trial& t) { return t.outcome == Outcome::returned; }))
    list.push_back({Area::program,
                    "Keep the engagement constant: the chatter came back where it rises, as in a corner.",
                    {}});
  if (advice.part_sings == true) {
    const std::string worth =
        advice.depth_factor ? " It takes about " + fixed(1 / *advice.depth_factor, 1) + " times the stiffness." : "";
    list.push_back({Area::hold,
                    "Hold the part better: its own tone is the one that sings. Support under the cut, jaws as "
                    "long as the part, less overhang." + worth,
                    {}});
  }
  const std::size_t known_causes = list.size();
  // The depth limit goes with the stiffness, and that of a bar with the cube of its length (F L^3 / 3 E I).
  if (advice.depth_factor) {
    const double factor = *advice.depth_factor;
    const std::string depth = question.depth_mm
                                  ? fixed(factor * *question.depth_mm, 2) + " mm (" + percent_text(factor) + ")"
                                  : percent_text(factor) + " of it";
    list.push_back(
        {Area::program, "Take less depth: about " + depth + " is likely quiet at the best speed.", 1 / factor});
    if (advice.part_sings != true)
      list.push_back({Area::tool,
                      "Shorten the stick-out by about " + percent_text(1 - std::cbrt(factor)) +
                          ": stiffness goes with its cube, so this is worth as much.",
                      1 / factor});
  } else {
    const bool known = std::any_of(advice.candidates.begin(), advice.candidates.end(), [](const Candidate& one) { return one.likelihood.has_value(); });
    if (known || advice.candidates.empty())
      list.push_back({Area::program, "Take far less depth: even a fifth of it is not surely quiet at any other speed in reach.", 5.0});
    else
      list.push_back({Area::program, "Take less depth; how much less cannot be told from this tone.", {}});
    list.push_back({Area::tool,
                    "Shorten the stick-out: 20 % less makes the tool " + fixed(std::pow(0.8, -3), 1) +
                        " times as stiff.",
                    std::pow(0.8, -3)});
  }
  if (question.radial_mm && question.diameter_mm) {
    const double angle = cutting::engaged_angle_rad(*question.radial_mm / *question.diameter_mm);
    const double wanted = advice.depth_factor.value_or(0.5);
    const double narrower_mm = 0.5 * *question.diameter_mm * (1 - std::cos(wanted * angle));
    list.push_back({Area::program,
                    "Take less width: " + fixed(narrower_mm, 2) + " mm keeps " + percent_text(wanted) +
                        " of the engaged angle, and the depth limit rises about as the angle falls.",
                    1 / wanted});
  }
  if (question.flutes > 2) {
    const double gain = question.flutes / (question.flutes - 1.0);
    list.push_back({Area::tool,
                    "Use " + std::to_string(question.flutes - 1) + " flutes instead of " +
                        std::to_string(question.flutes) + ": the depth limit rises by about " +
                        percent_text(gain - 1) + ".",
                    gain});
  }
  if (!question.unequal_pitch && question.flutes > 1) list.push_back({Area::tool, pitch_line(question), {}});
  list.push_back({Area::program,
                  "Go far slower where the work allows it: at half the speed the rubbing of the flank damps twice as "
                  "much, and at high lobe numbers that is what counts.",
                  {}});
  if (question.taps.empty() && question.machine_taps_hz.empty())
    list.push_back({Area::hold,
                    "Tap the tool and the part with the spindle stopped and locked out: the one whose tone lies within "
                    "a few percent of the chatter is the one to stiffen.",
                    {}});
  rank(list, known_causes);
  return list;
}

std::vector<std::string> common_cautions() {
  return {
      "Advice only: shop rules, the makers' instructions and qualified people come first.",
      "Doors shut, guards on; never reach toward a turning spindle.",
      "Never above the lowest of the limits of spindle, holder and tool, or what their balance allows.",
  };
}

std::vector<std::string> cautions_for(const Question& question, const Advice& advice) {
  auto list = common_cautions();
  if (advice.higher && !question.max_rpm && !question.tool_max_rpm && !question.holder_max_rpm)
    list.push_back("No upper limit was entered: check spindle, holder and tool before going faster.");
  if (advice.higher) list.push_back("Faster is hotter: mind the tool maker's surface speed for the material.");
  list.push_back("Controls ignore the override in tapping and threading.");
  return list;
}

}  // namespace hushmill::advise
