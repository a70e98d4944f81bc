// Real sounds from outside, none of which is chatter: how many of them the engine alarms on, alone, after a second of
// quiet, and over a simulated steady cut.
#pragma once

#include <cstdint>

#include "bench/section.hpp"

namespace hushmill::bench {

/// Prints the shares with what is required, one line for every sound that alarmed and the hardest of those that did
/// not. `first_seed`: of the speeds and cuts that go with the sounds.
void report_outside(Report& report, std::uint64_t first_seed);

}  // namespace hushmill::bench
