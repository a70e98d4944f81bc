// Did the hammer strike twice? A second strike surprises as the first did; an echo of the first does, too, but far less from a close
// microphone. The same at any level. Pure; any thread.
#pragma once

#include <cstddef>
#include <span>

namespace hushmill::tap {

/// `sound` from a little before the strike, which is at `strike`, to the end of its ring. True when a later strike, 11 to 120 ms
/// after (18 where only low modes ring), left at least a quarter of the amplitude of the first.
bool struck_twice(std::span<const float> sound, std::size_t strike, double rate_hz);

}  // namespace hushmill::tap
