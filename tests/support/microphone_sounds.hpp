// Clean sound on which the tests of the input are tried: three generators by seed. All data are invented.
#pragma once

#include <cstdint>

#include "listen/findings.hpp"
#include "support/additive_shop.hpp"

namespace hushmill::test {

enum class SoundKind { simulated, additive, rig_in_and_out };
const char* word(SoundKind kind) noexcept;

/// 8 s; `rig_in_and_out` 12 s: the example scenes, three cuts with two seconds of room between them.
ShopSound make_microphone_sound(SoundKind kind, std::uint64_t seed);

/// The warnings that speak of the input, not of the cut.
bool is_of_the_input(listen::Warning warning) noexcept;

}  // namespace hushmill::test
