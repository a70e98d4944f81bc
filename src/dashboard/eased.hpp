// A number that glides to where it is told to go, so that axes do not twitch. The caller owns time.
#pragma once

#include <cmath>

namespace hushmill::dashboard {

class Eased {
 public:
  /// Takes about three time constants to arrive; the first target is taken at once.
  double toward(double target, double dt_s, double time_constant_s = 0.12) noexcept {
    if (!std::isfinite(target)) return value_;
    if (!started_) {
      started_ = true;
      value_ = target;
      return value_;
    }
    value_ += (target - value_) * (1 - std::exp(-std::fmax(0, dt_s) / time_constant_s));
    if (std::abs(target - value_) <= 1e-4 * std::abs(target)) value_ = target;
    return value_;
  }
  double value() const noexcept { return value_; }

 private:
  double value_ = 0;
  bool started_ = false;
};

}  // namespace hushmill::dashboard
