// The value below which a share of the values lies.
#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <vector>

namespace hushmill::bench {

/// 0.5 is the median; no number when there are no values.
inline double quantile(std::vector<double> values, double share) {
  if (values.empty()) return std::numeric_limits<double>::quiet_NaN();
  const auto at = std::min(values.size() - 1, static_cast<std::size_t>(share * static_cast<double>(values.size())));
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(at), values.end());
  return values[at];
}

}  // namespace hushmill::bench
