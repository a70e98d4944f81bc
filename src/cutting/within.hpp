// The limits of a setting. Pure.
#pragma once

#include <string>

namespace hushmill::cutting {

/// Throws std::invalid_argument, one line with field, value and limits, when `value` is not from `least` to `most`, or no number.
void within(const std::string& field, double value, double least, double most);

}  // namespace hushmill::cutting
