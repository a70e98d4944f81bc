// Random numbers that are the same on every machine and library: the same question must have the same answer.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
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
  /// True with this chance.
  bool chance(double probability) noexcept { return unit() < probability; }
  /// Uniform in [0, 1).
  double unit() noexcept {
    state_ += 0x9E3779B97F4A7C15ULL;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
    z ^= z >> 31U;
    return static_cast<double>(z >> 11U) * 0x1.0p-53;
  }

 private:
  std::uint64_t state_;
};

/// All that chance decides in one guess, in a fixed order: numbers from 0 to 1. Kept, so that a guess can be varied.
using Luck = std::array<double, 44>;

inline Luck fresh_luck(Draw& draw) noexcept {
  Luck luck;
  for (double& number : luck) number = draw.unit();
  return luck;
}

/// A neighbour: some numbers moved a little, past an end in at the other. As likely from there as back.
inline Luck varied_luck(const Luck& luck, Draw& draw) noexcept {
  constexpr double kMovedShare = 0.4;
  const double reach = draw.log_uniform(0.02, 0.4);
  Luck neighbour = luck;
  for (double& number : neighbour) {
    if (!draw.chance(kMovedShare)) continue;
    number += draw.uniform(-reach, reach);
    number -= std::floor(number);
  }
  return neighbour;
}

/// Spends the numbers one after the other.
class Spender {
 public:
  explicit Spender(const Luck& luck) noexcept : luck_(luck) {}
  double unit() noexcept { return luck_[next_ < luck_.size() ? next_++ : next_ - 1]; }
  double uniform(double low, double high) noexcept { return low + (high - low) * unit(); }
  double log_uniform(double low, double high) noexcept { return low * std::exp(std::log(high / low) * unit()); }
  /// Standard normal, Box and Muller.
  double normal() noexcept {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - std::min(unit(), 1.0 - 1e-15)));
    return radius * std::cos(2.0 * std::numbers::pi * unit());
  }
  bool chance(double probability) noexcept { return unit() < probability; }

 private:
  const Luck& luck_;
  std::size_t next_ = 0;
};

}  // namespace hushmill::advise
