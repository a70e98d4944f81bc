// The limits of a setting. Pure.
#pragma once

#include <string_view>

namespace hushmill::text {

/// Throws std::invalid_argument, one line with field, value and limits, when `value` is not from `least` to `most`, or no number.
void within(std::string_view field, double value, double least, double most);

}  // namespace hushmill::text
