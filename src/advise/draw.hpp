// Random numbers that are the same on every machine and library: the same question must have the same answer.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace hushmill::advise {

/// A small counter-based generator (a 64-bit mix of a counter). The standard distributions differ between libraries.
class Draw {
 public:
  explicit Draw(std::uint64_t seed) noexcept : state_(seed) {}

  /// Uniform in [low, high).
  double uniform(double low, double high) noexcept { return low + (high - low) * unit(); }
  /// Uniform in the logarithm.
  double log_uniform(double low, double high) noexcept { return low * std::exp(std::log(high / low) * unit()); }
  /// Standard normal, Box and Muller.
  double normal() noexcept {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - unit()));
    return radius * std::cos(2.0 * std::numbers::pi * unit());
  }
  /// True with this chance.
  bool chance(double probability) noexcept { return unit() < probability; }

 private:
  double unit() noexcept {
    state_ += 0x9E3779B97F4A7C15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
    z ^= z >> 31U;
    return static_cast<double>(z >> 11U) * 0x1.0p-53;
  }

  std::uint64_t state_;
};

}  // namespace hushmill::advise
