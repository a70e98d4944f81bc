#include "rig/clean_track.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::rig {
namespace {
using cutting::kTurn;
}

CleanTrack::CleanTrack(std::size_t steps_per_revolution)
    : past_(3 * steps_per_revolution + steps_per_revolution / 8, {kTurn, 2.0 * kTurn, 3.0 * kTurn}) {}

void CleanTrack::push(double angle_rad, Pair vibration_m) noexcept {
  const std::array<Pair, 4> passes{vibration_m, past_.at(0, angle_rad), past_.at(1, angle_rad), past_.at(2, angle_rad)};
  past_.push(angle_rad, vibration_m);
  Pair mean;
  for (const Pair& pass : passes) {
    mean.x += 0.25 * pass.x;
    mean.y += 0.25 * pass.y;
  }
  const auto number = static_cast<long long>(std::floor(angle_rad / kTurn * static_cast<double>(kBins)));
  if (number != filling_number_) {
    bins_[static_cast<std::size_t>(filling_number_) % kBins] = filling_;
    filling_ = {};
    filling_number_ = number;
  }
  for (const Pair& pass : passes) {
    const double x = pass.x - mean.x;
    const double y = pass.y - mean.y;
    filling_.off += 0.25 * (x * x + y * y);
  }
  filling_.on += mean.x * mean.x + mean.y * mean.y;
  filling_.mean_x += mean.x;
  filling_.mean_y += mean.y;
  filling_.count += 1.0;
}

CleanTrack::Bin CleanTrack::total() const noexcept {
  Bin sum;
  for (const Bin& bin : bins_) {
    sum.count += bin.count;
    sum.off += bin.off;
    sum.on += bin.on;
    sum.mean_x += bin.mean_x;
    sum.mean_y += bin.mean_y;
  }
  return sum;
}

double CleanTrack::synchronous_rms_m() const noexcept {
  const Bin sum = total();
  if (sum.count <= 0) return 0;
  const double still = (sum.mean_x * sum.mean_x + sum.mean_y * sum.mean_y) / (sum.count * sum.count);
  return std::sqrt(std::max(sum.on / sum.count - still, 0.0));
}

double CleanTrack::chatter_rms_m() const noexcept {
  const Bin sum = total();
  return sum.count > 0 ? std::sqrt(sum.off / sum.count) : 0.0;
}

}  // namespace hushmill::rig
