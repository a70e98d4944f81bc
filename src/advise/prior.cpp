#include "advise/prior.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "advise/natural_frequency.hpp"

namespace hushmill::advise {

namespace {

double draw_damping(const Question& question, Spender& luck) noexcept {
  const double normal = luck.normal();
  if (question.damping_ratio) return *question.damping_ratio * std::exp(kTappedDampingLnSd * normal);
  return std::clamp(kDampingMedian * std::exp(kDampingLnSd * normal), 0.005, 0.08);
}

double draw_engagement(const Question& question, Spender& luck) noexcept {
  const double plain = luck.uniform(0.05, 1.0);
  const double normal = luck.normal();
  const bool slot = luck.chance(0.1);
  if (question.radial_mm && question.diameter_mm)
    return std::clamp(*question.radial_mm / *question.diameter_mm * (1.0 + 0.03 * normal), 0.01, 1.0);
  return slot ? 1.0 : plain;
}

}  // namespace

FlexibleCut draw_cut(const Question& question, Spender& luck) noexcept {
  FlexibleCut cut;
  // A tool bends nearly alike along and across the feed.
  const double across = std::exp(0.06 * luck.normal());
  const double across_compliance = std::exp(0.28 * luck.normal());
  // At times one direction gives far more than the other: a thin wall, a blade-like fixture.
  const bool thin = luck.chance(0.12);
  const double far_stiffer = luck.uniform(3.0, 10.0);
  const double stiffer = thin ? far_stiffer : 1.0;
  const bool along_gives = luck.chance(0.5);
  cut.add({true, 1.0, along_gives ? 1.0 : 1.0 / stiffer, draw_damping(question, luck), 0});
  cut.add({false, across, along_gives ? across_compliance / stiffer : across_compliance,
           draw_damping(question, luck), 0});
  // Often a second, stiffer pair above it: holder or spindle.
  const bool pair = luck.chance(0.3);
  const double above = luck.uniform(1.5, 3.0);
  const CutMode upper_x{true, above, 1.0 / luck.uniform(1.0, 5.5), draw_damping(question, luck), 0};
  const double upper_across = above * std::exp(0.05 * luck.normal());
  const CutMode upper_y{false, upper_across, 1.0 / luck.uniform(1.0, 5.5), draw_damping(question, luck), 0};
  if (pair) cut.add(upper_x), cut.add(upper_y);
  // Sometimes a part or fixture that gives, mostly across the feed.
  const bool part = luck.chance(0.2);
  const bool part_along = luck.chance(0.3);
  const double part_ratio = luck.log_uniform(0.4, 1.7);
  const CutMode part_mode{part_along, part_ratio, 1.0 / luck.uniform(1.0, 5.0), draw_damping(question, luck), 0};
  if (part) cut.add(part_mode);

  const bool climb_drawn = luck.chance(0.6);
  const bool climb = question.milling ? *question.milling == Milling::climb : climb_drawn;
  const double engagement = draw_engagement(question, luck);
  cut.set_engagement(engagement, climb, luck.uniform(0.18, 0.55));
  cut.overload = luck.log_uniform(1.04, 3.2);
  cut.rub_length_mm = luck.uniform(0.0, 0.2);
  const double diameter_drawn = luck.log_uniform(5.0, 25.0);
  cut.diameter_mm = question.diameter_mm.value_or(diameter_drawn);
  return cut;
}

}  // namespace hushmill::advise
