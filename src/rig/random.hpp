// Random numbers that are the same with every compiler and library. No allocation, no failure.
//
// A 64-bit counter with the mixing function of G.L. Steele, D. Lea, C.H. Flood, "Fast Splittable Pseudorandom Number
// Generators", OOPSLA 2014 (constants from memory).
#pragma once

#include <cstdint>

namespace hushmill::rig {

class Random {
 public:
  explicit Random(std::uint64_t seed) noexcept : state_(seed) {}

  std::uint64_t next() noexcept {
    state_ += 0x9e3779b97f4a7c15ULL;
    std::uint64_t mixed = state_;
    mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9ULL;
    mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebULL;
    return mixed ^ (mixed >> 31);
  }

  /// Even between 0 and 1.
  double unit() noexcept { return static_cast<double>(next() >> 11) * 0x1.0p-53; }

  /// Nearly normal, mean 0, standard deviation 1: the sum of four even numbers. Never beyond ±3.47, which suits noise.
  double normal() noexcept {
    const std::uint64_t bits = next();
    const auto sum =
        static_cast<double>((bits & 0xffff) + ((bits >> 16) & 0xffff) + ((bits >> 32) & 0xffff) + (bits >> 48));
    return (sum - 2.0 * 65535.0) * (1.7320508075688772 / 65536.0);
  }

 private:
  std::uint64_t state_;
};

}  // namespace hushmill::rig
