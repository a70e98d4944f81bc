// Round numbers for an axis. Pure.
#pragma once

#include <string>
#include <vector>

namespace hushmill::picture {

struct Tick {
  double value = 0;
  std::string label;
};

/// About `wanted` values within [from, to], 1, 2 or 5 times a power of ten apart; labels with as many decimals as they
/// need.
std::vector<Tick> round_ticks(double from, double to, int wanted);

}  // namespace hushmill::picture
