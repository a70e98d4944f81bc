// An hour of the running instrument: what it costs of one core, and whether its memory stays flat.
#pragma once

#include <vector>

#include "bench/section.hpp"

namespace hushmill::bench {

/// Listens for an hour to `minute` over and over, with states, advice and all, but without a screen, as fast as it
/// goes.
void report_hour(Report& report, std::vector<float> minute, double rate_hz, double rpm, int flutes);

}  // namespace hushmill::bench
