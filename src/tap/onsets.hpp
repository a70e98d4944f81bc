// Where taps begin: what surprises within one millisecond stands far over what usually does and over what just did.
//
// Works on the whole sound, so that rings, hum and tones are known and surprise nobody: a tap is found on top of the last one's
// ring. The same at any level. Pure; any thread.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace hushmill::tap {

struct Onset {
  std::size_t sample = 0;  ///< where it begins, to a millisecond
  std::size_t top = 0;     ///< loudest sample of the first milliseconds: the push is over soon after
  double strength = 0;     ///< amplitude of the surprise
};

std::vector<Onset> find_onsets(std::span<const float> sound, double rate_hz);

}  // namespace hushmill::tap
