#include "live/card_question.hpp"

#include <cmath>
#include <sstream>
#include <stdexcept>

#include "advise/check_question.hpp"
#include "advise/choose.hpp"

namespace hushmill::live {
namespace {

constexpr double kLeastDampingRatio = 0.0001;  // the adviser takes no less

/// That of the tap nearest to the chatter, where one is near enough to be its mode.
std::optional<double> tapped_damping(const CutCard& card, double chatter_hz) {
  std::optional<double> damping_ratio;
  double nearest = 1e300;
  for (int i = 0; i < card.tap_count; ++i) {
    const CardTap& tap = card.taps[static_cast<std::size_t>(i)];
    const double apart = std::abs(std::log(tap.natural_hz / chatter_hz));
    if (apart >= nearest || tap.damping_ratio < kLeastDampingRatio || !advise::same_mode({tap.natural_hz, false}, chatter_hz)) continue;
    nearest = apart;
    damping_ratio = tap.damping_ratio;
  }
  return damping_ratio;
}

}  // namespace

advise::Question question_for(const CutCard& card, double chatter_hz, double spindle_rpm) {
  advise::Question question;
  question.chatter_hz = chatter_hz;
  question.spindle_rpm = spindle_rpm;
  question.flutes = card.flutes;
  question.unequal_pitch = card.unequal_pitch;
  question.programmed_rpm = card.programmed_rpm;
  question.feed_mm_min = card.feed_mm_min;
  question.diameter_mm = card.diameter_mm;
  question.radial_mm = card.radial_mm;
  question.depth_mm = card.depth_mm;
  question.milling = card.milling;
  question.min_rpm = card.min_rpm;
  question.max_rpm = card.max_rpm;
  question.tool_max_rpm = card.tool_max_rpm;
  question.knob_step_percent = card.knob_step_percent;
  question.knob_min_percent = card.knob_min_percent;
  question.knob_max_percent = card.knob_max_percent;
  question.damping_ratio = card.damping_ratio ? card.damping_ratio : tapped_damping(card, chatter_hz);
  for (int i = 0; i < card.tap_count; ++i) {
    const CardTap& tap = card.taps[static_cast<std::size_t>(i)];
    if (tap.of_machine)
      question.machine_taps_hz.push_back(tap.natural_hz);
    else
      question.taps.push_back({tap.natural_hz, tap.of_part});
  }
  return question;
}

void check_card(const CutCard& card) {
  // Written so that NaN fails.
  if (!(card.override_percent >= 1 && card.override_percent <= 500)) {
    std::ostringstream line;
    line << "override_percent is " << card.override_percent << "; a number from 1 to 500 % would be right";
    throw std::invalid_argument(line.str());
  }
  constexpr double kAnyHz = 1000;  // the card says nothing of the tone
  advise::check_question(question_for(card, kAnyHz, card.entered_rpm()));
}

}  // namespace hushmill::live
