#include "bench/share.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace hushmill::bench {

std::string Share::text() const {
  if (all == 0) return "none of none";
  constexpr double z = 1.959964;
  const double n = all;
  const double p = hits / n;
  const double scale = 1 / (1 + z * z / n);
  const double middle = scale * (p + z * z / (2 * n));
  const double half = scale * z * std::sqrt(p * (1 - p) / n + z * z / (4 * n * n));
  return fmt::format("{} of {}, 95 % interval {:.1f} to {:.1f} %", hits, all, 100 * std::max(0.0, middle - half),
                     100 * std::min(1.0, middle + half));
}

}  // namespace hushmill::bench
