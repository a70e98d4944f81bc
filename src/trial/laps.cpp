#include "trial/laps.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

namespace hushmill::trial {
namespace {

constexpr int kMostPerPeriod = 4;
// Standard deviation of the single period over the period, at most.
constexpr double kSpreadOfFew = 0.08;   // four times only
constexpr double kSpread = 0.12;
constexpr double kSpreadOfPattern = 0.03;  // sums of several gaps spread less by themselves
constexpr double kOutlier = 2.5;        // of those shares, for the worst single period

std::optional<Laps> if_even(const std::vector<double>& periods_s, double most_spread, int per_period) {
  double sum_s = 0;
  for (const double period_s : periods_s) sum_s += period_s;
  const double mean_s = sum_s / static_cast<double>(periods_s.size());
  double squares = 0, worst_s = 0;
  for (const double period_s : periods_s) {
    squares += (period_s - mean_s) * (period_s - mean_s);
    worst_s = std::max(worst_s, std::abs(period_s - mean_s));
  }
  const double spread_s = std::sqrt(squares / static_cast<double>(periods_s.size() - 1));
  if (!(mean_s > 0) || spread_s > most_spread * mean_s || worst_s > kOutlier * most_spread * mean_s) return std::nullopt;
  return Laps{mean_s, spread_s, per_period};
}

// One a period, where some may be missing: a gap of twice the usual length counts as two.
std::optional<Laps> with_gaps(std::span<const double> onsets_s) {
  std::vector<double> gaps_s;
  for (std::size_t i = 1; i < onsets_s.size(); ++i) gaps_s.push_back(onsets_s[i] - onsets_s[i - 1]);
  std::vector<double> sorted = gaps_s;
  std::sort(sorted.begin(), sorted.end());
  const double usual_s = sorted[(sorted.size() - 1) / 2];
  if (!(usual_s > 0)) return std::nullopt;
  std::vector<double> periods_s;
  std::size_t doubled = 0;
  for (const double gap_s : gaps_s) {
    const bool twice = gap_s > 1.5 * usual_s;
    doubled += twice ? 1 : 0;
    periods_s.push_back(twice ? gap_s / 2 : gap_s);
  }
  const bool few = onsets_s.size() < 5;
  if (few && doubled > 0) return std::nullopt;
  if (3 * doubled > gaps_s.size()) return std::nullopt;
  return if_even(periods_s, few || doubled > 0 ? kSpreadOfFew : kSpread, 1);
}

}  // namespace

std::optional<Laps> find_laps(std::span<const double> onsets_s) {
  constexpr std::size_t kLeast = 4;
  if (onsets_s.size() < kLeast) return std::nullopt;
  if (auto laps = with_gaps(onsets_s)) return laps;
  for (int m = 2; m <= kMostPerPeriod; ++m) {
    const auto step = static_cast<std::size_t>(m);
    if (onsets_s.size() < 2 * step + 2) break;
    std::vector<double> periods_s;
    for (std::size_t i = step; i < onsets_s.size(); ++i) periods_s.push_back(onsets_s[i] - onsets_s[i - step]);
    if (auto laps = if_even(periods_s, kSpreadOfPattern, m)) return laps;
  }
  return std::nullopt;
}

}  // namespace hushmill::trial
