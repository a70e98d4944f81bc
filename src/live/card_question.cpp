#include "live/card_question.hpp"

#include <sstream>
#include <stdexcept>

#include "advise/check_question.hpp"

namespace hushmill::live {

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
  question.damping_ratio = card.damping_ratio;
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
