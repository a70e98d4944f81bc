#include "signal/lines.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace hushmill::signal {

Interpolated interpolate_hann(double power_before, double power_at, double power_after, std::size_t bin) noexcept {
  // Hann: |W(d)| = |sinc(d)| / (1 − d²), so the ratio of neighbouring amplitudes a = A(k+1)/A(k) gives d = (2a − 1)/(a + 1).
  const double at = std::sqrt(power_at);
  const bool after = power_after >= power_before;
  const double neighbour = std::sqrt(after ? power_after : power_before);
  const double ratio = at > 0 ? neighbour / at : 0.0;
  const double d = std::clamp((2.0 * ratio - 1.0) / (ratio + 1.0), 0.0, 0.5);
  const double sinc = d < 1e-9 ? 1.0 : std::sin(std::numbers::pi * d) / (std::numbers::pi * d);
  const double response = sinc / (1.0 - d * d);
  return {static_cast<double>(bin) + (after ? d : -d), power_at / (response * response)};
}

void find_lines(std::span<const float> power, std::span<const float> background, double bin_hz,
                const LineSettings& settings, std::vector<Line>& lines) {
  lines.clear();
  if (power.size() < 5) return;
  const auto first = std::max<std::size_t>(2, static_cast<std::size_t>(settings.from_hz / bin_hz));
  const auto last = std::min(power.size() - 3, static_cast<std::size_t>(settings.to_hz / bin_hz));
  // Skirts of a strong line, as power ratio at 2, 3, … bins off: what a Hann window leaks, widened for a line whose level
  // moves within the frame. A maximum that is lower than this under a neighbour is the neighbour's.
  constexpr std::array<float, 7> kSkirt{1.0F, 1.0F, 0.08F, 0.012F, 0.004F, 0.0015F, 0.0007F};
  const auto least_ratio = static_cast<float>(settings.least_ratio);
  for (std::size_t k = first; k <= last; ++k) {
    const float p = power[k];
    if (p < least_ratio * background[k]) continue;  // most bins end here
    if (!(p > power[k - 1] && p >= power[k + 1])) continue;
    bool own = true;
    for (std::size_t d = 2; d < kSkirt.size() && own; ++d) {
      const float before = k >= d ? power[k - d] : 0.0F;
      const float after = k + d < power.size() ? power[k + d] : 0.0F;
      own = p > kSkirt[d] * std::max(before, after);
    }
    if (!own) continue;
    const auto exact = interpolate_hann(static_cast<double>(power[k - 1]), static_cast<double>(p),
                                        static_cast<double>(power[k + 1]), k);
    lines.push_back({exact.bin * bin_hz, exact.power, k,
                     exact.power / std::max(static_cast<double>(background[k]), 1e-20)});
  }
  const std::size_t keep = std::min(settings.most, lines.size());
  std::partial_sort(lines.begin(), lines.begin() + static_cast<std::ptrdiff_t>(keep), lines.end(),
                    [](const Line& a, const Line& b) { return a.power > b.power; });
  lines.resize(keep);
}

}  // namespace hushmill::signal
