#include "listen/room.hpp"

#include <algorithm>

namespace hushmill::listen {

namespace {
constexpr double kFollowS = 3.0;   // time constant once that much was heard; before, a plain mean
constexpr double kLoudRatio = 2.0;  // a row this much louder than the room may be a cut that nobody has recognised yet:
constexpr double kLoudFollowS = 30;  // it is believed slowly
constexpr double kSettledS = 0.3;
constexpr double kKeptEveryS = 1.2;
}

Room::Room(std::size_t bins, double row_s) : row_s_(row_s), power_(bins, 0.0F), newer_(bins, 0.0F), older_(bins, 0.0F) {}

void Room::process(std::span<const float> power) noexcept {
  kept_s_ += row_s_;
  if (kept_s_ >= kKeptEveryS) {
    kept_s_ = 0;
    ++kept_;
    older_.swap(newer_);
    std::copy(power_.begin(), power_.end(), newer_.begin());
  }
  double level = 0;
  for (const float p : power) level += static_cast<double>(p);
  const bool loud = heard_s_ > kSettledS && level > kLoudRatio * level_;
  if (!loud) heard_s_ += row_s_;
  const double share_exact = row_s_ / (loud ? kLoudFollowS : std::min(heard_s_, kFollowS));
  level_ += share_exact * (level - level_);
  const float share = static_cast<float>(share_exact);
  for (std::size_t k = 0; k < power_.size(); ++k) power_[k] += share * (power[k] - power_[k]);
}

void Room::take_over(const Room& other, double width) noexcept {
  for (std::size_t k = 0; k < power_.size(); ++k) {
    const auto from = static_cast<std::size_t>(static_cast<double>(k) * width);
    power_[k] = from < other.power_.size() ? static_cast<float>(width) * other.power()[from] : 0.0F;
  }
  std::copy(power_.begin(), power_.end(), newer_.begin());
  std::copy(power_.begin(), power_.end(), older_.begin());
  heard_s_ = other.heard_s_;
  level_ = total();
}

void Room::step_back() noexcept {
  std::copy(older_.begin(), older_.end(), power_.begin());
  std::copy(older_.begin(), older_.end(), newer_.begin());
  level_ = total();
}

double Room::total() const noexcept {
  double sum = 0;
  for (const float p : power_) sum += static_cast<double>(p);
  return sum;
}

}  // namespace hushmill::listen
