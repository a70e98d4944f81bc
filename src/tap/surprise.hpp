// What could not be told in advance: rings, hum and tones follow from their own past, a strike does not.
//
// Linear prediction by the autocorrelation (N. Levinson, J. Math. Phys. 25 (1947) 261-278, from memory), at a lowered rate: a hard
// hammer surprises at 24 kHz, a soft one on something that rings low only at 4 kHz, where less noise hides it. The same at any
// level. Pure; any thread.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace hushmill::tap {

/// Rates, about, at which strikes are looked for.
inline constexpr double kSurpriseRatesHz[] = {24000, 4000};

/// Power of what surprises in each millisecond, smoothed over three, over its own median; the sound is lowered to about
/// `at_rate_hz`. Nothing surprises in the first and last milliseconds. `learn_from`, `learn_to`: the part of the sound, in its samples, whose autocorrelation is used.
std::vector<double> surprise(std::span<const float> sound, double rate_hz, double at_rate_hz, std::size_t learn_from, std::size_t learn_to);

}  // namespace hushmill::tap
