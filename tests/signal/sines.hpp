// Sounds with a known answer, for the tests of this folder.
#pragma once

#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

#include "support/additive_shop.hpp"

namespace hushmill::test {

/// amplitude·cos(2π·bin·n/size + phase), n = 0 … size − 1; `bin` need not be whole.
inline std::vector<float> cosine(std::size_t size, double bin, double amplitude, double phase) {
  std::vector<float> samples(size);
  const double step = 2.0 * std::numbers::pi * bin / static_cast<double>(size);
  for (std::size_t n = 0; n < size; ++n)
    samples[n] = static_cast<float>(amplitude * std::cos(step * static_cast<double>(n) + phase));
  return samples;
}

/// White noise, normally distributed.
inline std::vector<float> white_noise(std::size_t size, double deviation, std::uint64_t seed) {
  Chance chance(seed);
  std::vector<float> samples(size);
  for (float& sample : samples) sample = static_cast<float>(deviation * chance.normal());
  return samples;
}

inline void add(std::vector<float>& to, const std::vector<float>& more) {
  for (std::size_t n = 0; n < to.size(); ++n) to[n] += more[n];
}

}  // namespace hushmill::test
