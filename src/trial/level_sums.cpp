#include "trial/level_sums.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"
#include "signal/lines.hpp"

namespace hushmill::trial {
namespace {

constexpr double kLeastS = 0.2;
constexpr double kLowestHz = 60;
constexpr double kHighestHz = 9500;
constexpr double kShareFromHz = 50;
constexpr double kToothBins = 2.5;       // a Hann line's power lies within two bins of its top …
constexpr double kToothShare = 0.004;    // … and the speed wanders a little
constexpr int kLobeBins = 2;
constexpr double kMostBetweenBins = 1.387;
constexpr double kStandsOut = 4.0;       // power over the middle of what lies around, else it is noise and no line

// A whole spectrum a row: to base two it is quickest.
double power_of(float dbfs) noexcept { return static_cast<double>(std::exp2(dbfs / signal::kDbPerOctave)); }

}  // namespace

void LevelSums::add(std::span<const float> spectrum_dbfs, double bin_hz, double total_dbfs, double row_s) {
  if (spectrum_dbfs.size() < 8 || !(bin_hz > 0)) return;
  if (power_.empty()) {
    power_.assign(spectrum_dbfs.size(), 0.0);
    bin_hz_ = bin_hz;
  }
  // The frames follow the spindle: the first ones after a change of speed may be of another length.
  if (power_.size() != spectrum_dbfs.size() || bin_hz_ != bin_hz) return;
  for (std::size_t k = 0; k < power_.size(); ++k) power_[k] += power_of(spectrum_dbfs[k]);
  total_ += signal::power_from_db(total_dbfs);
  rows_ += 1;
  over_s_ += row_s;
}

std::optional<Levels> LevelSums::levels(double tone_hz, double tooth_hz, std::span<const float> room_dbfs) const {
  if (over_s_ < kLeastS || !(rows_ > 0) || !(tone_hz > 0) || !std::isfinite(tone_hz)) return std::nullopt;
  const double last_hz = std::min(kHighestHz, bin_hz_ * static_cast<double>(power_.size() - 2));
  if (!(tooth_hz > 4 * kToothBins * bin_hz_) || tone_hz >= last_hz) return std::nullopt;  // the teeth stand too close to look between
  const auto off_teeth_hz = [&](double hz) { return std::abs(hz - tooth_hz * std::round(hz / tooth_hz)); };
  const auto on_tooth = [&](double hz) {
    return off_teeth_hz(hz) < std::min(kToothBins * bin_hz_ + kToothShare * hz, 0.3 * tooth_hz);
  };
  const auto power = [&](std::size_t k) { return power_[k] / rows_; };

  std::size_t best = 0;
  const auto from = static_cast<std::size_t>(std::max(1.0, std::ceil(std::max(kLowestHz, tone_hz - 0.5 * tooth_hz) / bin_hz_)));
  const auto to = static_cast<std::size_t>(std::min(last_hz, tone_hz + 0.5 * tooth_hz) / bin_hz_);
  std::size_t skirt = 0;  // where there is no line at all
  for (std::size_t k = from; k <= to; ++k) {
    if (on_tooth(static_cast<double>(k) * bin_hz_)) continue;
    if (skirt == 0 || power(k) < power(skirt)) skirt = k;
    const bool line = power(k) >= power(k - 1) && power(k) >= power(k + 1);
    if (line && (best == 0 || power(k) > power(best))) best = k;
  }
  if (best == 0) best = skirt;
  if (best == 0) return std::nullopt;
  const auto line = signal::interpolate_hann(power(best - 1), power(best), power(best + 1), best);
  // Between two bins a line reads up to 1.42 dB low; noise must not be made more of than that.
  const auto peak_power = [&](std::size_t k) {
    return std::clamp(signal::interpolate_hann(power(k - 1), power(k), power(k + 1), k).power, power(k), kMostBetweenBins * power(k));
  };

  Levels levels;
  levels.over_s = over_s_;
  levels.tone_hz = std::clamp(line.bin, static_cast<double>(best) - 0.5, static_cast<double>(best) + 0.5) * bin_hz_;
  levels.tone_dbfs = signal::power_db(peak_power(best));
  levels.total_dbfs = signal::power_db(total_ / rows_);

  const double folded_hz = off_teeth_hz(levels.tone_hz);
  double family = 0, lobes = 0;
  std::vector<double> around;
  const auto middle_power = [&](std::size_t at) {
    const auto reach = static_cast<std::size_t>(0.5 * tooth_hz / bin_hz_);
    const std::size_t first = at > reach ? at - reach : 1;
    around.clear();
    for (std::size_t k = first; k <= std::min(at + reach, power_.size() - 1); ++k) around.push_back(power(k));
    const auto half = around.begin() + static_cast<std::ptrdiff_t>(around.size() / 2);
    std::nth_element(around.begin(), half, around.end());
    return *half;
  };
  for (int order = 0; order * tooth_hz - folded_hz < last_hz; ++order)
    for (const int side : {-1, 1}) {
      if (side > 0 && folded_hz > 0.499 * tooth_hz) continue;  // halfway between two teeth the two sides are one place
      const double hz = order * tooth_hz + side * folded_hz;
      if (hz < kLowestHz || hz >= last_hz) continue;
      const auto middle = static_cast<std::size_t>(std::lround(hz / bin_hz_));
      std::size_t top = middle;
      for (const std::size_t k : {middle - 1, middle + 1})
        if (power(k) > power(top)) top = k;
      if (top < 1 || top + 1 >= power_.size()) continue;
      if (on_tooth(static_cast<double>(top) * bin_hz_) || power(top) < kStandsOut * middle_power(top)) continue;
      family += peak_power(top);
      for (int d = -kLobeBins; d <= kLobeBins; ++d) {
        const auto k = static_cast<std::ptrdiff_t>(top) + d;
        if (k >= 0 && k < static_cast<std::ptrdiff_t>(power_.size())) lobes += power(static_cast<std::size_t>(k));
      }
    }
  levels.family_dbfs = signal::power_db(std::max(family, signal::power_from_db(levels.tone_dbfs)));

  double above_room = 0;
  const bool room_known = room_dbfs.size() == power_.size();
  for (auto k = static_cast<std::size_t>(std::ceil(kShareFromHz / bin_hz_)); k < power_.size(); ++k) {
    const double room = room_known ? signal::power_from_db(static_cast<double>(room_dbfs[k])) : 0.0;
    above_room += std::max(0.0, power(k) - room);
  }
  levels.share = above_room > 0 ? std::clamp(lobes / above_room, 0.0, 1.0) : 0.0;
  return levels;
}

}  // namespace hushmill::trial
