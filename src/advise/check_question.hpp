// The one place that judges whether a question to the adviser makes sense.
#pragma once

#include "advise/advice.hpp"

namespace hushmill::advise {

inline constexpr double kLowestRpm = 10;
inline constexpr double kHighestRpm = 200000;
inline constexpr int kMostFlutes = 64;

/// Throws std::invalid_argument with one line that names the field, its value and what would be right.
void check_question(const Question& question);

}  // namespace hushmill::advise
