// Stretches of time in order, and how much of them lies within another. Pure.
#pragma once

#include <algorithm>
#include <span>
#include <vector>

namespace hushmill::trial {

struct TimeSpan {
  double from_s = 0;
  double to_s = 0;
  double length_s() const noexcept { return to_s - from_s; }
};

/// The common part of two; of length 0 when there is none.
inline TimeSpan common(const TimeSpan& a, const TimeSpan& b) noexcept {
  const double from_s = std::max(a.from_s, b.from_s);
  return {from_s, std::max(from_s, std::min(a.to_s, b.to_s))};
}

/// How much of `spans`, which are in order and do not overlap, lies within `window`.
inline double within_s(std::span<const TimeSpan> spans, const TimeSpan& window) noexcept {
  double sum_s = 0;
  const auto first = std::partition_point(spans.begin(), spans.end(), [&](const TimeSpan& span) { return span.to_s <= window.from_s; });
  for (auto span = first; span != spans.end() && span->from_s < window.to_s; ++span) sum_s += common(*span, window).length_s();
  return sum_s;
}

/// The parts that lie in both; each in order and without overlaps.
inline std::vector<TimeSpan> common(std::span<const TimeSpan> a, std::span<const TimeSpan> b) {
  std::vector<TimeSpan> both;
  for (const TimeSpan& one : a)
    for (const TimeSpan& other : b)
      if (const TimeSpan part = common(one, other); part.length_s() > 0) both.push_back(part);
  return both;
}

}  // namespace hushmill::trial
