#include "support/chance.hpp"

#include <cmath>
#include <numbers>

namespace hushmill::test {

std::uint64_t Chance::next() noexcept {
  std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
  z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
  z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
  return z ^ (z >> 31U);
}
double Chance::uniform() noexcept { return static_cast<double>(next() >> 11U) * 0x1.0p-53; }
double Chance::log_uniform(double low, double high) noexcept {
  return std::exp(uniform(std::log(low), std::log(high)));
}
double Chance::normal() noexcept {
  const double u = 1.0 - uniform();
  return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * uniform());
}

}  // namespace hushmill::test
