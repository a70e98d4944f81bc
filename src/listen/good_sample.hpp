// What counts as a sample of sound: one rule for engine and microphone check.
#pragma once

#include <cmath>

namespace hushmill::listen {

/// Full scale is 1. A million times that is no sound, and its square would leave a spectrum without numbers for as long as it is remembered.
inline constexpr float kLoudestSample = 1e6F;

/// False for NaN, infinity and nonsense.
inline bool is_good_sample(float sample) noexcept { return std::abs(sample) <= kLoudestSample; }

}  // namespace hushmill::listen
