#include "tap/bounce.hpp"

#include <algorithm>
#include <vector>

#include "tap/surprise.hpp"

namespace hushmill::tap {

namespace {
constexpr std::size_t kFirstMs = 4;
constexpr std::size_t kLatestMs = 120;
constexpr double kShare = 0.25;     // of the first strike's amplitude
constexpr double kBounceOverUsual = 14;   // times the usual power of what surprises
}  // namespace

bool struck_twice(std::span<const float> sound, std::size_t strike, double rate_hz) {
  const auto first = static_cast<std::size_t>(1000 * static_cast<double>(strike) / rate_hz);
  for (const auto& way : kSurprises) {
    const auto power = surprise(sound, rate_hz, way, strike + static_cast<std::size_t>(0.0015 * rate_hz), sound.size());
    if (first + way.over_ms + 4 >= power.size()) continue;
    const auto at = [&](std::size_t ms) { return power.begin() + static_cast<std::ptrdiff_t>(std::min(ms, power.size())); };
    const double once = *std::max_element(at(first - std::min(first, kFirstMs)), at(first + kFirstMs));
    const double again = *std::max_element(at(first + way.over_ms), at(first + kLatestMs));
    if (again > kShare * kShare * once && again > kBounceOverUsual) return true;
  }
  return false;
}

}  // namespace hushmill::tap
