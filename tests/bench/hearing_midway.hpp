// Listening that begins in the middle of a cut, as when somebody opens the laptop because it squeals: no room was heard before it.
#pragma once

#include <cstdint>

#include "bench/section.hpp"

namespace hushmill::bench {

/// Prints the share of chattering cuts that are named within two seconds of the start, and of steady ones that are alarmed.
void report_midway(Report& report, std::uint64_t first_seed);

}  // namespace hushmill::bench
