// The whole chain on the simulated machine: its sound, the listener, the advice for what was heard, the next cut.
//
// Set-ups of the closed loop, cut by the rig instead of the small trial cut, at a depth that chatters there. Whether a
// speed cures is the rig's own truth (rig::try_cut), never the listener's word.
#pragma once

#include <cstdint>

#include "bench/section.hpp"

namespace hushmill::bench {

/// S word free, one, two and three tries, of what the best of all speeds in reach (3 % apart) cures. Reports nothing
/// when `count` is 0.
void report_rig(Report& report, int count, std::uint32_t seed);

}  // namespace hushmill::bench
