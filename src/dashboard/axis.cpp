#include "dashboard/axis.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::dashboard {

double Axis::share(double at) const noexcept {
  if (logarithmic) return std::log(std::max(at, 1e-9) / from) / std::log(to / from);
  return (at - from) / (to - from);
}

double Axis::value(double at) const noexcept {
  if (logarithmic) return from * std::pow(to / from, at);
  return from + (to - from) * at;
}

double round_step(double least) noexcept {
  if (!(least > 0) || !std::isfinite(least)) return 1;
  const double decade = std::pow(10.0, std::floor(std::log10(least)));
  for (const double step : {1.0, 2.0, 5.0}) {
    if (step * decade >= least * (1 - 1e-9)) return step * decade;
  }
  return 10 * decade;
}

Ticks ticks(const Axis& axis, double least_apart) {
  Ticks found;
  if (!(axis.to > axis.from) || !(least_apart > 0)) return found;
  if (!axis.logarithmic) {
    const double step = round_step((axis.to - axis.from) * least_apart);
    for (double i = std::ceil(axis.from / step - 1e-9); i * step <= axis.to + 1e-9 * step && found.size() < Ticks::kMost;
         ++i) {
      found.push_back({i * step, axis.share(i * step)});
    }
    return found;
  }
  if (!(axis.from > 0)) return found;
  for (double decade = std::pow(10.0, std::floor(std::log10(axis.from))); decade <= axis.to; decade *= 10) {
    for (const double digit : {1.0, 2.0, 5.0}) {
      const double value = digit * decade;
      if (!axis.holds(value) || found.size() >= Ticks::kMost) continue;
      const double share = axis.share(value);
      if (found.empty() || share - found.back().share >= least_apart) found.push_back({value, share});
    }
  }
  return found;
}

Axis zoomed(const Axis& axis, double share, double factor, const Axis& whole) noexcept {
  if (!(factor > 0)) return axis;
  Axis result = axis;
  // In shares of the axis itself, so that one formula serves both kinds of axis.
  const double from = share - share / factor, to = share + (1 - share) / factor;
  result.from = std::max(whole.from, axis.value(from));
  result.to = std::min(whole.to, axis.value(to));
  const double least = (whole.to - whole.from) / 500;
  return result.to - result.from < least ? axis : result;
}

Axis panned(const Axis& axis, double shares, const Axis& whole) noexcept {
  Axis result = axis;
  result.from = axis.value(shares);
  result.to = axis.value(1 + shares);
  return result.from < whole.from || result.to > whole.to ? axis : result;
}

}  // namespace hushmill::dashboard
