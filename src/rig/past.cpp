#include "rig/past.hpp"

#include <bit>
#include <utility>

namespace hushmill::rig {

Past::Past(std::size_t steps, const std::vector<double>& lags_rad) : ring_(std::bit_ceil(steps + 8)), mask_(ring_.size() - 1) {
  readers_.reserve(lags_rad.size());
  for (const double lag : lags_rad) readers_.push_back({lag, 0});
}

void Past::push(double angle_rad, Pair position_m) noexcept {
  ring_[pushed_ & mask_] = {angle_rad, position_m.x, position_m.y};
  ++pushed_;
}

Pair Past::at(std::size_t lag, double angle_rad) noexcept {
  Reader& reader = readers_[lag];
  const double wanted = angle_rad - reader.lag_rad;
  // A reader that slept until its place was overwritten starts again at the oldest entry.
  if (pushed_ > ring_.size() && reader.index + ring_.size() < pushed_ + 4) reader.index = pushed_ - ring_.size() + 4;
  if (pushed_ == 0) return {};
  if (pushed_ < 4 || wanted <= entry(reader.index).angle_rad) {
    const Entry& oldest = entry(reader.index);
    return {oldest.x, oldest.y};
  }
  while (reader.index + 3 < pushed_ && entry(reader.index + 1).angle_rad <= wanted) ++reader.index;
  const Entry& a = entry(reader.index);
  const Entry& b = entry(reader.index + 1);
  const Entry& before = reader.index > 0 ? entry(reader.index - 1) : a;
  const Entry& after = entry(reader.index + 2);
  const double t = (wanted - a.angle_rad) / (b.angle_rad - a.angle_rad);
  const double u = t - 1.0;
  const double outer = t * u / 6.0;
  const double inner = 0.5 * (t + 1.0) * (t - 2.0);
  const double minus = -outer * (t - 2.0);
  const double two = outer * (t + 1.0);
  const double zero = inner * u;
  const double one = -inner * t;
  return {minus * before.x + zero * a.x + one * b.x + two * after.x,
          minus * before.y + zero * a.y + one * b.y + two * after.y};
}

}  // namespace hushmill::rig
