// The speeds at which a cloud of guesses is judged: equal ratios, fastest first, so that tooth periods ascend.
#pragma once

#include <algorithm>
#include <cmath>
#include <span>

namespace hushmill::advise {

struct SpeedGrid {
  static constexpr double kStep = 1.01;

  double fastest_rpm = 0;
  int size = 0;

  /// Covers both speeds.
  static SpeedGrid between(double low_rpm, double high_rpm) noexcept {
    return {high_rpm, static_cast<int>(std::ceil(std::log(high_rpm / low_rpm) / std::log(kStep))) + 2};
  }
  double rpm(int i) const noexcept { return fastest_rpm * std::pow(kStep, -i); }
  /// Value at a speed between grid speeds, by the nearest two; ends are held.
  double at(std::span<const double> values, double rpm) const noexcept {
    const double place = std::clamp(std::log(fastest_rpm / rpm) / std::log(kStep), 0.0, size - 1.0);
    const auto left = std::min(static_cast<std::size_t>(place), static_cast<std::size_t>(std::max(0, size - 2)));
    const double share = place - static_cast<double>(left);
    return size < 2 ? values[0] : values[left] + (values[left + 1] - values[left]) * share;
  }
};

}  // namespace hushmill::advise
