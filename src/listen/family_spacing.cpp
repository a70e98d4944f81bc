#include "listen/family_spacing.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr double kFurthest = 0.015;  // a spindle sags by a percent or so
constexpr double kSpacingStep = 0.0004;
constexpr double kHere = 0.001;  // a nearer spacing is the comb fit's to find
constexpr double kWidthBins = 0.3;
constexpr double kSpacingHighestHz = 6000;
constexpr double kMargin = 4.0;  // full lines by which the other spacing must explain more
constexpr double kAgree = 0.0009;
constexpr std::size_t kSpacingMostLines = 32;

double line_weight(const signal::Line& line) noexcept {
  return std::clamp((10.0 * std::log10(line.over) - 5.0) / 15.0, 0.0, 1.0);
}

// 1 on a whole multiple of the spacing (not the zeroth), 0 from twice the width on; everything in spacings.
double on_spacing(double orders, double half_width) noexcept {
  const double nearest = std::nearbyint(orders);
  return nearest < 1 ? 0.0 : std::max(0.0, 1.0 - std::abs(orders - nearest) / half_width);
}

struct Weighed {
  double hz = 0;
  double weight = 0;
};

// Full lines explained as teeth or as family of the line at `founder_hz`, less what chance explains.
double explained(std::span<const Weighed> lines, double founder_hz, double tooth_hz, double width_hz) noexcept {
  const double spacings = 1.0 / tooth_hz;
  const double half_width = 2.0 * width_hz * spacings;
  const double chance = std::min(1.0, 3.0 * half_width);
  double sum = 0;
  for (const auto& line : lines) {
    const double best = std::max({on_spacing(line.hz * spacings, half_width),
                                  on_spacing(std::abs(line.hz - founder_hz) * spacings, half_width),
                                  on_spacing((line.hz + founder_hz) * spacings, half_width)});
    sum += line.weight * (best - chance);
  }
  return sum;
}
}  // namespace

std::optional<double> FamilySpacing::process(std::span<const signal::Line> lines, double bin_hz, double chatter_hz,
                                             const Comb& comb) noexcept {
  lines = lines.first(std::min(kSpacingMostLines, lines.size()));
  const auto founder = std::find_if(lines.begin(), lines.end(), [&](const signal::Line& line) {
    return std::abs(line.hz - chatter_hz) < 2 * bin_hz;
  });
  const double width_hz = kWidthBins * bin_hz;
  const double tooth_hz = comb.tooth_hz();
  double found = 1;
  if (founder != lines.end() && tooth_hz > 12 * width_hz) {
    std::array<Weighed, kSpacingMostLines> weighed;
    std::size_t count = 0;
    for (const auto& line : lines)
      if (line.hz <= kSpacingHighestHz && &line != &*founder) weighed[count++] = {line.hz, line_weight(line)};
    const std::span<const Weighed> others(weighed.data(), count);
    double here = 0;
    double best = 0;
    double best_factor = 1;
    const int steps = static_cast<int>(kFurthest / kSpacingStep);
    for (int i = -steps; i <= steps; ++i) {
      const double factor = 1.0 + kSpacingStep * i;
      const double value = explained(others, founder->hz, factor * tooth_hz, width_hz);
      if (std::abs(factor - 1.0) <= kHere)
        here = std::max(here, value);
      else if (value > best) {
        best = value;
        best_factor = factor;
      }
    }
    if (best > here + kMargin) found = best_factor;
  }
  const bool again = found != 1 && std::abs(found - last_) < kAgree;
  last_ = found;
  if (!again) return std::nullopt;
  last_ = 1;
  return found;
}

}  // namespace hushmill::listen
