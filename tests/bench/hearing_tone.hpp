// How exactly the engine names the frequency of one tone in white noise, against the bound that no estimate can beat.
#pragma once

#include "bench/section.hpp"

namespace hushmill::bench {

/// Prints root-mean-square errors over the Cramér-Rao bound for the samples of the long window, through the Listener.
void report_tone(Report& report);

}  // namespace hushmill::bench
