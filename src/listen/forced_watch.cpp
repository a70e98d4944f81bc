#include "listen/forced_watch.hpp"

#include <array>

#include "signal/decibel.hpp"

namespace hushmill::listen {

namespace {
constexpr double kAboveTrendDb = 18;
constexpr double kForcedLeastShare = 0.4;
constexpr double kFirstExtraDb = 6;
constexpr double kRevolutions = 10;
constexpr double kForcedHighestHz = 8000;
constexpr int kMostOrders = 64;
constexpr int kReach = 3;

// Straight line through the neighbours' levels (all but the order itself), read at the order.
double trend_db(const std::array<double, kMostOrders + 1>& level_db, int order, int last) noexcept {
  double n = 0, sum_x = 0, sum_y = 0, sum_xx = 0, sum_xy = 0;
  for (int k = std::max(1, order - kReach); k <= std::min(last, order + kReach); ++k) {
    if (k == order) continue;
    const double x = k - order;
    const double y = level_db[static_cast<std::size_t>(k)];
    n += 1;
    sum_x += x;
    sum_y += y;
    sum_xx += x * x;
    sum_xy += x * y;
  }
  const double lever = n * sum_xx - sum_x * sum_x;
  return lever > 0 ? (sum_y * sum_xx - sum_x * sum_xy) / lever : sum_y / std::max(1.0, n);
}
}  // namespace

void ForcedWatch::process(const Row& row) noexcept {
  std::array<double, kMostOrders + 1> level_db{};
  std::array<bool, kMostOrders + 1> clear{};
  const double last_hz = std::min(kForcedHighestHz, row.highest_hz());
  const double tooth_hz = row.comb.tooth_hz();
  int last = 0;
  for (int k = 1; k <= kMostOrders && k * tooth_hz <= last_hz; ++k) {
    const double tolerance = row.comb.tolerance_hz(k * tooth_hz, row.bin_hz);
    if (tolerance > 0.3 * tooth_hz) break;
    const std::size_t bin = row.highest_bin(k * tooth_hz, tolerance);
    const float reference = std::max(row.floor[bin], 1.6F * row.room[bin]);
    level_db[static_cast<std::size_t>(k)] = signal::power_db(static_cast<double>(std::max(row.power[bin], reference)));
    clear[static_cast<std::size_t>(k)] = row.power[bin] > 10.0F * reference && !row.on_skirt(bin);
    last = k;
  }
  int best = 0;
  double best_db = 0;
  if (last >= 4) {
    for (int k = 1; k <= last; ++k) {
      if (!clear[static_cast<std::size_t>(k)]) continue;
      // The first multiple has neighbours on one side only, and force falls off from it by nature: it must stand clear
      // of the higher of the next two, and by more.
      const double trend = k == 1 ? std::max(level_db[2], level_db[3]) + kFirstExtraDb : trend_db(level_db, k, last);
      const double above = level_db[static_cast<std::size_t>(k)] - trend;
      if (above > best_db) {
        best_db = above;
        best = k;
      }
    }
  }
  // Forced vibration that matters outdoes all else that sounds.
  if (best != 0 && signal::power_from_db(level_db[static_cast<std::size_t>(best)]) < kForcedLeastShare * row.above_room)
    best_db = 0;
  above_trend_db_ = best_db;
  if (best_db >= kAboveTrendDb && (order_ == 0 || best == order_)) {
    order_ = best;
    lasting_s_ += row.row_s;
  } else {
    order_ = best_db >= kAboveTrendDb ? best : 0;
    lasting_s_ = 0;
  }
  forced_ = order_ != 0 && lasting_s_ >= kRevolutions / row.comb.rotation_hz;
}

}  // namespace hushmill::listen
