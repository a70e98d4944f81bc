// What a person reads in the terminal: short tables, short lines.
#pragma once

#include <string>

#include "advise/advice.hpp"
#include "app/review.hpp"

namespace hushmill::app {

std::string to_text(const Review& review);

/// What a tone is that was not heard as chatter.
const char* tone_text(const listen::ForeignTone& tone);
/// `inches`: feeds in inches a minute.
std::string to_text(const advise::Advice& advice, bool inches);
/// "CHATTER at 1 370 Hz", "steady" and so on, for a line of the monitor.
std::string verdict_text(listen::Verdict verdict);

}  // namespace hushmill::app
