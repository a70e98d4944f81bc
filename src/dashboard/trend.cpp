#include "dashboard/trend.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kApartS = 0.024;   // 64 of them reach over 1.5 s
constexpr double kWindowS = 0.3;
constexpr double kBackS = 1;
constexpr double kSayEveryS = 0.5;
constexpr double kPauseS = 1;
constexpr double kHoldsDb = 3;      // levels wander by less while nothing changes
constexpr double kDyingDb = 8;

}  // namespace

void Trend::add(double t_s, std::optional<double> dbfs) noexcept {
  if (!std::isfinite(t_s)) return;
  const Heard* last = count_ > 0 ? &heard_[(count_ - 1) % kMost] : nullptr;
  if (last && (t_s < last->t_s || t_s > last->t_s + kPauseS)) *this = Trend{}, last = nullptr;
  if (!dbfs || !std::isfinite(*dbfs) || (last && t_s < last->t_s + kApartS)) return;
  heard_[count_ % kMost] = {t_s, *dbfs};
  ++count_;
  if (change_db_ && t_s < said_s_ + kSayEveryS) return;
  const auto now = mean_db(t_s - kWindowS, t_s), before = mean_db(t_s - kBackS - kWindowS, t_s - kBackS);
  change_db_ = now && before ? std::optional(*now - *before) : std::nullopt;
  said_s_ = t_s;
}

std::optional<double> Trend::mean_db(double from_s, double to_s) const noexcept {
  double sum = 0;
  int found = 0;
  bool earlier = false;  // the window is only full when something was heard before it
  for (std::size_t i = 0; i < std::min(count_, kMost); ++i) {
    earlier = earlier || heard_[i].t_s <= from_s + kApartS;
    if (heard_[i].t_s < from_s || heard_[i].t_s > to_s) continue;
    sum += heard_[i].dbfs;
    ++found;
  }
  return found > 0 && earlier ? std::optional(sum / found) : std::nullopt;
}

Words Trend::words() const {
  if (count_ == 0) return {};
  if (!change_db_) return "just begun";
  if (std::abs(*change_db_) < kHoldsDb) return "level holds";
  if (*change_db_ <= -kDyingDb) return "dying away";
  return in_db(std::abs(*change_db_)) + (*change_db_ > 0 ? " louder" : " softer") + " than a second ago";
}

}  // namespace hushmill::dashboard
