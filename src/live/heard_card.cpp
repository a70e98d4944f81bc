#include "live/heard_card.hpp"

#include <cmath>

namespace hushmill::live {

namespace {
constexpr double kAtTheStep = 0.008;  // of the speed: true speeds mostly differ from the entered ones by less
}

CutCard card_as_heard(const CutCard& card, const listen::OtherFit& heard) {
  CutCard changed = card;
  // The comb counts the repeats of the pitch pattern, the card the flutes.
  if (heard.flutes != card.comb_flutes()) changed.flutes = heard.flutes * (card.flutes / card.comb_flutes());
  if (!(card.programmed_rpm > 0)) return changed;
  const double percent = 100 * heard.spindle_rpm / card.programmed_rpm;
  changed.override_percent = percent;
  if (card.knob_step_percent > 0) {
    const double step = card.knob_step_percent * std::round(percent / card.knob_step_percent);
    if (step > 0 && std::abs(step / percent - 1) <= kAtTheStep) changed.override_percent = step;
  }
  return changed;
}

}  // namespace hushmill::live
