// Small generator of random numbers of our own: the distributions of the standard library differ between compilers.
#pragma once

#include <cstdint>

namespace hushmill::test {

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 0x632BE59BD9B4E019ULL) {}
  std::uint64_t next() noexcept;  ///< splitmix64
  double uniform() noexcept;      ///< [0, 1)
  double uniform(double low, double high) noexcept { return low + (high - low) * uniform(); }
  double log_uniform(double low, double high) noexcept;
  double normal() noexcept;
  int whole(int low, int high) noexcept { return low + static_cast<int>(uniform() * (high - low + 1)); }
  bool one_in(double odds) noexcept { return uniform() < 1.0 / odds; }

 private:
  std::uint64_t state_;
};

}  // namespace hushmill::test
