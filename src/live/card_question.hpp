// The cut card turned into a question to the adviser, and the one check of a card.
#pragma once

#include "advise/advice.hpp"
#include "live/cut_card.hpp"

namespace hushmill::live {

/// What to ask when `chatter_hz` was heard at `spindle_rpm`.
advise::Question question_for(const CutCard& card, double chatter_hz, double spindle_rpm);

/// Throws std::invalid_argument with one line that names the field, its value and what would be right.
void check_card(const CutCard& card);

}  // namespace hushmill::live
