// What could not be told in advance: rings, hum and tones follow from their own past, a strike does not.
//
// Linear prediction by the autocorrelation (N. Levinson, J. Math. Phys. 25 (1947) 261-278, from memory), at a lowered rate: a hard
// hammer surprises at 24 kHz, a soft one on something that rings low only at 4 kHz, where less noise hides it, and what rings at some
// tens of hertz only at 1 kHz. The same at any level. Pure; any thread.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace hushmill::tap {

/// One way to look for strikes.
struct SurpriseAt {
  double rate_hz;        ///< about
  std::size_t order;     ///< samples that the prediction looks back
  std::size_t over_ms;   ///< the beginning of a strike surprises no longer than that: prediction, the lowered rate's filter, first echoes
  double least_share;    ///< of the sound's power that is left at this rate, or it has nothing to say
};
inline constexpr SurpriseAt kSurprises[] = {{24000, 32, 11, 0}, {4000, 32, 11, 0}, {1000, 8, 18, 0.1}};

/// Power of what surprises in each millisecond, smoothed over three, over its own median; the sound is lowered to about
/// `at.rate_hz`. Nothing surprises in the first and last milliseconds, and nothing at all where
/// too little of the sound's power is left. `learn_from`, `learn_to`: the part of the sound, in its samples, whose autocorrelation is used.
std::vector<double> surprise(std::span<const float> sound, double rate_hz, const SurpriseAt& at, std::size_t learn_from, std::size_t learn_to);

}  // namespace hushmill::tap
