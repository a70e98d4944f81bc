// A sound whose every sample is known by its number, so that a recording can be compared with what was played.
#pragma once

#include <cstdint>

namespace hushmill::test {

/// Noise of 24 bits, as from a converter; never the same for half a minute.
inline float known_sample(std::int64_t number) {
  auto x = static_cast<std::uint32_t>(number) * 2654435761U;
  x ^= x >> 15;
  x *= 2246822519U;
  x ^= x >> 13;
  return static_cast<float>(static_cast<std::int32_t>(x & 0x7fffffU) - 0x400000) / 8388608.0f;
}

}  // namespace hushmill::test
