#include "listen/holes_watch.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"

namespace hushmill::listen {

namespace {
constexpr double kHolesFromHz = 3000;
constexpr double kToHz = 9500;
constexpr double kClassDb = 3;
constexpr double kLowestDb = -120;
constexpr double kLeastSpreadDb = 8.0;
constexpr double kHolesLeastSpectra = 6;
constexpr std::size_t kLeastClassesBelow = 2;
constexpr double kLeastGainOfAddingDb = 1.6;
constexpr double kLeastDb = -115;  // per bin: below stands the rounding to 16 bits, or nothing
constexpr std::size_t kLeastCells = 5;
constexpr double kMostCount = 240;  // a minute
}  // namespace

HolesWatch::HolesWatch(double bin_hz, std::size_t bins) : sorted_(bins), before_(bins, 0.0F), added_(bins, 0.0F) {
  const double step = std::exp2(1.0 / 12);
  for (double hz = kHolesFromHz; hz * step < kToHz && hz * step / bin_hz < 0.84 * static_cast<double>(bins);
       hz *= step * step)
    cells_.push_back({static_cast<std::size_t>(hz / bin_hz), static_cast<std::size_t>(hz * step / bin_hz)});
  spreads_.resize(cells_.size());
}

std::optional<double> HolesWatch::spread_db(std::span<const float> power) noexcept {
  std::size_t n = 0;
  for (std::size_t c = 0; c < cells_.size(); ++c) {
    const auto first = sorted_.begin();
    const auto last = std::copy(power.begin() + static_cast<std::ptrdiff_t>(cells_[c].from),
                                power.begin() + static_cast<std::ptrdiff_t>(cells_[c].to), first);
    const auto quarter = (last - first) / 4;
    std::nth_element(first, first + quarter, last);
    const float low = *(first + quarter);
    std::nth_element(first + quarter, last - 1 - quarter, last);
    const double high_db = signal::power_db(static_cast<double>(*(last - 1 - quarter)));
    if (high_db >= kLeastDb) spreads_[n++] = high_db - signal::power_db(static_cast<double>(low));
  }
  if (n < kLeastCells) return std::nullopt;
  const auto middle = spreads_.begin() + static_cast<std::ptrdiff_t>(n / 2);
  std::nth_element(spreads_.begin(), middle, spreads_.begin() + static_cast<std::ptrdiff_t>(n));
  return *middle;
}

void HolesWatch::Mean::add(double alone, double added) noexcept {
  count = std::min(count + 1, kMostCount);
  alone_db += (alone - alone_db) / count;
  added_db += (added - added_db) / count;
}

void HolesWatch::process(std::span<const float> power, const InputFrame& frame) noexcept {
  if (cells_.size() < kLeastCells) return;
  now_s_ = frame.end_s;
  if (has_before_) {
    // Each to its own level, so that the louder of the two does not outweigh the other.
    double sum = 1e-20, sum_before = 1e-20;
    for (std::size_t k = cells_.front().from; k < cells_.back().to; ++k) {
      sum += static_cast<double>(power[k]);
      sum_before += static_cast<double>(before_[k]);
    }
    const auto ratio = static_cast<float>(sum / sum_before);
    for (std::size_t k = cells_.front().from; k < cells_.back().to; ++k) added_[k] = power[k] + ratio * before_[k];
    const auto alone = spread_db(power);
    const auto added = spread_db(added_);
    const double place = (signal::power_db(2 * frame.power) - kLowestDb) / kClassDb;
    const auto last = static_cast<double>(by_level_.size() - 1);
    if (alone && added) by_level_[static_cast<std::size_t>(std::clamp(place, 0.0, last))].add(*alone, *added);
  }
  std::copy(power.begin(), power.end(), before_.begin());
  has_before_ = true;
}

std::optional<MicrophoneFinding> HolesWatch::finding() const noexcept {
  std::size_t loudest = by_level_.size();
  while (loudest > 0 && by_level_[loudest - 1].count == 0) --loudest;
  double alone = 0, added = 0, count = 0;
  for (std::size_t c = 0; c + kLeastClassesBelow < loudest && count < kHolesLeastSpectra; ++c) {
    const double taken = std::min(by_level_[c].count, kHolesLeastSpectra - count);
    alone += taken * by_level_[c].alone_db;
    added += taken * by_level_[c].added_db;
    count += taken;
  }
  if (count < kHolesLeastSpectra || alone / count < kLeastSpreadDb || (alone - added) / count < kLeastGainOfAddingDb)
    return std::nullopt;
  return MicrophoneFinding{Warning::noise_suppression, 0, now_s_, alone / count};
}

}  // namespace hushmill::listen
