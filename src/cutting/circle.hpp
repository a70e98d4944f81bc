// The two constants of everything that turns.
#pragma once

#include <numbers>

namespace hushmill::cutting {

inline constexpr double kPi = std::numbers::pi;
inline constexpr double kTurn = 2.0 * kPi;  ///< one revolution in rad

}  // namespace hushmill::cutting
