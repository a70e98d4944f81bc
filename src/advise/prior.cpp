#include "advise/prior.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "advise/natural_frequency.hpp"

namespace hushmill::advise {

namespace {

double draw_damping(const Question& question, Draw& draw) noexcept {
  if (question.damping_ratio) return *question.damping_ratio * std::exp(kTappedDampingLnSd * draw.normal());
  return std::clamp(kDampingMedian * std::exp(kDampingLnSd * draw.normal()), 0.005, 0.08);
}

double draw_engagement(const Question& question, Draw& draw) noexcept {
  if (question.radial_mm && question.diameter_mm)
    return std::clamp(*question.radial_mm / *question.diameter_mm * (1.0 + 0.03 * draw.normal()), 0.01, 1.0);
  return draw.uniform(0.05, 1.0);
}

}  // namespace

FlexibleCut draw_cut(const Question& question, Draw& draw) noexcept {
  FlexibleCut cut;
  // A tool bends nearly alike along and across the feed.
  const double across = std::exp(0.05 * draw.normal());
  const double across_compliance = std::exp(0.25 * draw.normal());
  // At times one direction gives far more than the other: a thin wall, a blade-like fixture.
  const bool thin = draw.chance(0.12);
  const double stiffer = thin ? draw.uniform(3.0, 10.0) : 1.0;
  const bool along_gives = draw.chance(0.5);
  cut.add({true, 1.0, along_gives ? 1.0 : 1.0 / stiffer, draw_damping(question, draw), 0});
  cut.add({false, across, along_gives ? across_compliance / stiffer : across_compliance,
           draw_damping(question, draw), 0});
  // Often a second, stiffer pair above it: holder or spindle.
  if (draw.chance(0.35)) {
    const double above = draw.uniform(1.6, 3.0);
    cut.add({true, above, 1.0 / draw.uniform(1.3, 6.0), draw_damping(question, draw), 0});
    cut.add(
        {false, above * std::exp(0.05 * draw.normal()), 1.0 / draw.uniform(1.3, 6.0), draw_damping(question, draw), 0});
  }
  // Sometimes a part or fixture that gives, across the feed.
  if (draw.chance(0.25))
    cut.add({false, draw.log_uniform(0.4, 1.6), 1.0 / draw.uniform(1.0, 5.0), draw_damping(question, draw), 0});

  const bool climb = question.milling ? *question.milling == Milling::climb : draw.chance(0.6);
  cut.set_engagement(draw_engagement(question, draw), climb, draw.uniform(0.2, 0.55));
  cut.overload = draw.log_uniform(1.04, 3.2);
  cut.rub_length_mm = draw.uniform(0.0, 0.2);
  cut.diameter_mm = question.diameter_mm.value_or(draw.log_uniform(5.0, 20.0));
  return cut;
}

}  // namespace hushmill::advise
