#include "listen/speed_fit.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr double kFirstRatio = 0.97;
constexpr double kRatioStep = 0.0002;
constexpr double kFitKeep = 0.85;         // leaky sum over rows
constexpr double kRotationShare = 0.4;    // a rotation multiple that is no tooth multiple counts this much
constexpr double kPriorPerStep2 = 2e-6;   // weak pull toward the entered speed, per (step from the middle)²
constexpr double kClear = 6.0;            // robust deviations by which the best ratio must stand out
constexpr double kFitHighestHz = 7000;    // above, one percent of speed is many orders
constexpr double kWidthBins = 0.3;        // how far off its multiple a line may be
constexpr double kMostSteps = 8;          // 0.16 % from row to row, some 4 % a second
constexpr double kFollowedDrift = 0.003;  // while it runs away from one row to the next
constexpr double kMostStepsSinging = 4;   // lines of chatter are many, and a turn of the knob is followed elsewhere
constexpr double kHeldDrift = 0.00002;    // a row, while nothing new is heard of the speed
constexpr double kMostHeldDrift = 0.002;
constexpr double kFirstDrift = 0.0015;  // while the speed has just been found
constexpr double kDriftKeep = 0.75;     // of the drift, from row to row
constexpr std::size_t kFitMostLines = 60;

double line_weight(const signal::Line& line) noexcept {
  return std::clamp((10.0 * std::log10(line.over) - 5.0) / 15.0, 0.0, 1.0);
}

// Triangular kernel of the distance to the nearest multiple, less its mean over all distances.
double comb_value(double order, double width_orders, int flutes) noexcept {
  const double nearest = std::nearbyint(order);
  if (nearest < 1) return 0;
  const double distance = std::abs(order - nearest);
  const double hit = std::max(0.0, 1.0 - distance / (2.0 * width_orders));
  const double chance = std::min(1.0, 2.0 * width_orders);
  const bool tooth = static_cast<long>(nearest) % flutes == 0;
  const double share = tooth ? 1.0 : kRotationShare;
  const double mean_share = (1.0 + kRotationShare * (flutes - 1)) / flutes;
  return share * hit - mean_share * chance;
}
}  // namespace

SpeedFit::SpeedFit() = default;

void SpeedFit::expect(double spindle_rpm, int flutes) noexcept {
  entered_rpm_ = spindle_rpm;
  middle_rpm_ = spindle_rpm;
  flutes_ = flutes;
  sum_.fill(0.0);
  rows_ = 0;
  measured_ = false;
  doubtful_rows_ = 0;
  ratio_ = 1;
  uncertainty_ = 0.01;
  weight_sum_ = 0;
  weighted_rpm_ = 0;
  best_uncertainty_ = 1;
}

void SpeedFit::follow(double factor) noexcept {
  middle_rpm_ = spindle_rpm() * factor;
  ratio_ = 1;
  measured_ = true;
  uncertainty_ = 0.001;
  drift_ = kFollowedDrift;
  sum_.fill(0.0);
  rows_ = 0;
  doubtful_rows_ = 0;
}

double SpeedFit::score(std::span<const signal::Line> lines, double bin_hz, double spindle_rpm, int flutes) noexcept {
  const double rotation_hz = spindle_rpm / 60.0;
  const double width = kWidthBins * bin_hz / rotation_hz;
  if (width > 0.2) return 0;
  double sum = 0;
  for (const auto& line : lines.first(std::min(kFitMostLines, lines.size()))) {
    if (line.hz > kFitHighestHz) continue;
    sum += line_weight(line) * comb_value(line.hz / rotation_hz, width, flutes);
  }
  return sum;
}

void SpeedFit::process(std::span<const signal::Line> lines, double bin_hz, bool singing) noexcept {
  if (middle_rpm_ <= 0) return;
  ++rows_;
  for (double& s : sum_) s *= kFitKeep;
  add_row(lines, bin_hz);

  std::size_t best = 0;
  double best_value = -1e300;
  // Once found, the speed moves slowly; a far better fit elsewhere is more likely a chatter family than a leap.
  const double nearest = (ratio_ - kFirstRatio) / kRatioStep;
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double off = static_cast<double>(i) - 0.5 * (kSteps - 1);
    if (measured_ && std::abs(static_cast<double>(i) - nearest) > (singing ? kMostStepsSinging : kMostSteps)) continue;
    const double value = sum_[i] - kPriorPerStep2 * off * off * std::max(1.0, sum_[i]);
    if (value > best_value) {
      best_value = value;
      best = i;
    }
  }
  scratch_ = sum_;
  const auto middle = scratch_.begin() + kSteps / 2;
  std::nth_element(scratch_.begin(), middle, scratch_.end());
  const double median = *middle;
  for (double& s : scratch_) s = std::abs(s - median);
  std::nth_element(scratch_.begin(), middle, scratch_.end());
  const double deviation = 1.4826 * *middle + 0.02;
  const double ratio = kFirstRatio + kRatioStep * static_cast<double>(best);
  recent_[rows_ % recent_.size()] = ratio;

  const bool inside = best > 1 && best + 2 < kSteps;
  // Three full lines' worth of comb, so that a handful of chance hits does not pass for a speed.
  const bool clear = inside && (sum_[best] - median) / deviation > kClear && sum_[best] * (1 - kFitKeep) > 1.2;
  bool agree = rows_ >= recent_.size();
  for (const double r : recent_) agree = agree && std::abs(r - ratio) < 0.0012;
  if (clear && agree) {
    refine(lines, bin_hz, ratio);
    doubtful_rows_ = 0;
  } else if (measured_ && singing) {
    drift_ = std::min(kMostHeldDrift, drift_ + kHeldDrift);
  } else if (measured_ && ++doubtful_rows_ > 40) {
    measured_ = false;  // about two seconds without a comb: back to what was entered
    uncertainty_ = 0.01;
    ratio_ = 1;
    middle_rpm_ = entered_rpm_;
  }
}

// The same as `score` for every step, but only where a line meets a multiple: most steps miss most lines.
void SpeedFit::add_row(std::span<const signal::Line> lines, double bin_hz) noexcept {
  const double rotation_hz = middle_rpm_ / 60.0;
  const double reach_hz = 2 * kWidthBins * bin_hz;
  constexpr double kLastRatio = kFirstRatio + kRatioStep * (kSteps - 1);
  double weights = 0;
  for (const auto& line : lines.first(std::min(kFitMostLines, lines.size()))) {
    if (line.hz > kFitHighestHz || line.hz < 0.5 * rotation_hz) continue;
    const double weight = line_weight(line);
    if (weight <= 0) continue;
    weights += weight;
    const int last_order = static_cast<int>((line.hz + reach_hz) / (rotation_hz * kFirstRatio));
    for (int order = std::max(1, static_cast<int>(std::ceil((line.hz - reach_hz) / (rotation_hz * kLastRatio))));
         order <= last_order; ++order) {
      const double share = weight * (order % flutes_ == 0 ? 1.0 : kRotationShare);
      const double multiple_hz = order * rotation_hz;
      const double first = ((line.hz - reach_hz) / multiple_hz - kFirstRatio) / kRatioStep;
      const double last = ((line.hz + reach_hz) / multiple_hz - kFirstRatio) / kRatioStep;
      const int to = std::min(static_cast<int>(kSteps) - 1, static_cast<int>(std::floor(last)));
      for (int i = std::max(0, static_cast<int>(std::ceil(first))); i <= to; ++i)
        sum_[static_cast<std::size_t>(i)] +=
            share * (1.0 - std::abs(line.hz - multiple_hz * (kFirstRatio + kRatioStep * i)) / reach_hz);
    }
  }
  const double mean_share = (1.0 + kRotationShare * (flutes_ - 1)) / flutes_;
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double width = reach_hz / (rotation_hz * (kFirstRatio + kRatioStep * static_cast<double>(i)));
    sum_[i] -= weights * mean_share * std::min(1.0, width);
  }
}

void SpeedFit::refine(std::span<const signal::Line> lines, double bin_hz, double start_ratio) noexcept {
  const double rotation_hz = middle_rpm_ / 60.0;
  double ratio = start_ratio;
  double spread = 0;
  double count = 0;
  double lever = 0;
  for (int turn = 0; turn < 2; ++turn) {
    double numerator = 0;
    lever = 0;
    spread = 0;
    count = 0;
    for (const auto& line : lines) {
      if (line.hz > kFitHighestHz) continue;
      const double order = std::nearbyint(line.hz / (rotation_hz * ratio));
      if (order < 1) continue;
      const double multiple_hz = order * rotation_hz;
      const double off_hz = line.hz - multiple_hz * ratio;
      if (std::abs(off_hz) > 2 * kWidthBins * bin_hz) continue;
      const double weight = line_weight(line);
      numerator += weight * line.hz * multiple_hz;
      lever += weight * multiple_hz * multiple_hz;
      spread += weight * off_hz * off_hz;
      count += weight;
    }
    if (lever <= 0 || count < 1) return;
    ratio = numerator / lever;
  }
  // Standard error of a weighted fit through the origin; the floor is a fiftieth of a bin a line.
  const double line_hz = std::max(std::sqrt(spread / count), 0.02 * bin_hz);
  const double uncertainty = line_hz / std::sqrt(lever);
  const bool jump = !measured_ || std::abs(ratio - ratio_) > 0.001;
  drift_ = jump ? kFirstDrift : std::max(kDriftKeep * drift_, std::abs(ratio - ratio_));
  ratio_ = jump ? ratio : ratio_ + 0.3 * (ratio - ratio_);
  uncertainty_ = uncertainty;
  measured_ = true;
  const double spread_now = uncertainty + drift_;
  const double weight = 1.0 / (spread_now * spread_now);
  weight_sum_ += weight;
  weighted_rpm_ += weight * ratio * middle_rpm_;
  best_uncertainty_ = std::min(best_uncertainty_, uncertainty);
}

std::optional<double> SpeedFit::mean_rpm() const noexcept {
  if (weight_sum_ <= 0) return std::nullopt;
  return weighted_rpm_ / weight_sum_;
}

std::optional<double> SpeedFit::mean_uncertainty_rpm() const noexcept {
  if (weight_sum_ <= 0) return std::nullopt;
  return best_uncertainty_ * middle_rpm_;
}

}  // namespace hushmill::listen
