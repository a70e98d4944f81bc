// Sound out of a few bytes: what a machine makes and what none should, NaN, infinity and denormals among it.
#pragma once

#include <vector>

#include "fuzz/food.hpp"

namespace hushmill::fuzz {

/// Adds between 1 and `most` samples of one kind.
void add_piece(Food& food, double sample_rate_hz, std::size_t most, std::vector<float>& sound);

}  // namespace hushmill::fuzz
