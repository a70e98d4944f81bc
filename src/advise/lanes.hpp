// Eight numbers that are reckoned with at once: the same arithmetic on as many guesses.
//
// Vectors as GCC and Clang know them; a processor with narrower registers takes two for one. No operation mixes the lanes, so that every machine gets the same bits. Any thread.
#pragma once

#include <cstdint>

namespace hushmill::advise {

inline constexpr int kLanes = 8;
// The alignment is said, for a compiler takes that of the narrower registers otherwise.
using Lanes [[gnu::vector_size(32), gnu::aligned(32)]] = float;
using LaneMask [[gnu::vector_size(32), gnu::aligned(32)]] = std::int32_t;
static_assert(sizeof(Lanes) == kLanes * sizeof(float) && alignof(Lanes) == 32);

}  // namespace hushmill::advise
