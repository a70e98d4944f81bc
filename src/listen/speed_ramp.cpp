#include "listen/speed_ramp.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr double kRampHighestHz = 6500;
constexpr double kReach = 0.01;  // how far the comb may have moved from row to row
constexpr double kRampStep = 0.001;
constexpr double kStill = 0.0025;        // a smaller move is the long window's to measure
constexpr double kRampClearRatio = 5.0;  // 7 dB over the floor
constexpr int kRampLeastLines = 4;
constexpr double kRampLeastShare = 0.6;  // of the lines that were strong must be found again
constexpr double kMovedNats = 3.0;       // by which the moved comb must fit better
constexpr double kMovingNats = 1.0;      // once it is on its way
constexpr double kMovingStill = 0.0015;
constexpr double kMovingS = 0.4;
constexpr double kSingingNats = 12;  // chatter brings many lines
constexpr double kLevelNats = 2.5;   // most that one line counts, so that one strong line does not decide
constexpr double kRememberS = 0.3;
constexpr float kStrong = 0.5F;
constexpr double kLostS = 0.6;  // by then the long window has found the comb, or knows that it is another
constexpr float kGoneShare = 0.1F;
constexpr float kLouder = 10;  // a ramp moves lines; what comes up that much louder in their stead is chatter

float level(const Row& row, double hz) noexcept { return row.power[row.bin(hz)]; }

double over_floor(const Row& row, double hz) noexcept {
  const std::size_t bin = row.bin(hz);
  const float reference = std::max(row.floor[bin], 1.6F * row.room[bin]) + 1e-14F;
  return static_cast<double>(row.power[bin] / reference);
}
}  // namespace

void SpeedRamp::reset() noexcept {
  direction_ = 0;
  moving_s_ = 0;
  lost_s_ = 0;
  presence_.fill(0.0F);
  power_.fill(0.0F);
}

SpeedRamp::Fit SpeedRamp::fit(const Row& row, double factor, std::size_t orders) const noexcept {
  Fit fit;
  const double rotation_hz = row.comb.rotation_hz * factor;
  for (std::size_t k = 1; k <= orders; ++k) {
    if (presence_[k] < kStrong) continue;
    const double ratio = over_floor(row, static_cast<double>(k) * rotation_hz);
    if (ratio <= 1 || level(row, static_cast<double>(k) * rotation_hz) > kLouder * power_[k]) continue;
    fit.nats += std::min(kLevelNats, std::log(ratio));
    if (ratio > kRampClearRatio) ++fit.clear;
  }
  return fit;
}

void SpeedRamp::remember(const Row& row, std::size_t orders) noexcept {
  const auto share = static_cast<float>(row.row_s / kRememberS);
  for (std::size_t k = 1; k <= orders; ++k) {
    const float now = over_floor(row, static_cast<double>(k) * row.comb.rotation_hz) > kRampClearRatio ? 1.0F : 0.0F;
    presence_[k] += share * (now - presence_[k]);
    power_[k] += share * (level(row, static_cast<double>(k) * row.comb.rotation_hz) - power_[k]);
  }
}

// Chatter takes power from the teeth or drowns them, but their lines stay: a line that is weaker by far and not louder
// than its surroundings has gone.
void SpeedRamp::watch_for_loss(const Row& row, std::size_t orders) noexcept {
  int known = 0, gone = 0;
  for (std::size_t k = 1; k <= orders; ++k) {
    if (presence_[k] < kStrong) continue;
    ++known;
    const double hz = static_cast<double>(k) * row.comb.rotation_hz;
    gone += level(row, hz) < kGoneShare * power_[k] && over_floor(row, hz) < kRampClearRatio ? 1 : 0;
  }
  lost_s_ = std::max(0.0, lost_s_ - row.row_s);
  if (known >= kRampLeastLines && gone > kRampLeastShare * known) lost_s_ = kLostS;
}

std::optional<double> SpeedRamp::process(const Row& row, bool singing) noexcept {
  const double rotation_hz = row.comb.rotation_hz;
  // Rotation multiples that the frame cannot tell apart: only the teeth are left, and they are too few.
  if (!row.comb.measured || rotation_hz < 3 * row.bin_hz) return std::nullopt;
  const auto orders = std::min(kMostOrders, static_cast<std::size_t>(kRampHighestHz / rotation_hz));
  const auto known = std::count_if(presence_.begin() + 1, presence_.begin() + 1 + static_cast<std::ptrdiff_t>(orders),
                                   [](float p) { return p >= kStrong; });
  watch_for_loss(row, orders);
  Fit still = fit(row, 1.0, orders);
  if (moving_s_ <= 0 && still.clear >= known) {  // nothing has left its place
    direction_ = 0;
    remember(row, orders);
    return std::nullopt;
  }
  Fit best;
  double best_move = 0;
  const int steps = static_cast<int>(kReach / kRampStep);
  for (int i = -steps; i <= steps; ++i) {
    const double move = kRampStep * i;
    const Fit moved = fit(row, 1.0 + move, orders);
    if (std::abs(move) <= (moving_s_ > 0 ? kMovingStill : kStill)) {
      if (moved.nats > still.nats) still = moved;
    } else if (moved.nats > best.nats) {
      best = moved;
      best_move = move;
    }
  }
  const bool moved = best.clear >= kRampLeastLines && best.clear >= still.clear &&
                     best.clear >= kRampLeastShare * static_cast<double>(known) &&
                     best.nats > still.nats + (singing         ? kSingingNats
                                               : moving_s_ > 0 ? kMovingNats
                                                               : kMovedNats);
  const int direction = !moved ? 0 : best_move > 0 ? 1 : -1;
  const bool again = direction != 0 && direction == direction_;
  direction_ = direction;
  moving_s_ = std::max(0.0, moving_s_ - row.row_s);
  if (!moved) remember(row, orders);
  if (!again) return std::nullopt;
  moving_s_ = kMovingS;
  return 1.0 + best_move;
}

}  // namespace hushmill::listen
