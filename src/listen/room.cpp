#include "listen/room.hpp"

#include <algorithm>

namespace hushmill::listen {

namespace {
constexpr double kFollowS = 3.0;  // time constant once that much was heard; before, a plain mean
}

Room::Room(std::size_t bins, double row_s) : row_s_(row_s), power_(bins, 0.0F) {}

void Room::process(std::span<const float> power) noexcept {
  heard_s_ += row_s_;
  const float share = static_cast<float>(row_s_ / std::min(heard_s_, kFollowS));
  for (std::size_t k = 0; k < power_.size(); ++k) power_[k] += share * (power[k] - power_[k]);
}

double Room::total(std::size_t first_bin) const noexcept {
  double sum = 0;
  for (std::size_t k = first_bin; k < power_.size(); ++k) sum += static_cast<double>(power_[k]);
  return sum;
}

}  // namespace hushmill::listen
