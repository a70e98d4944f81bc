// A sine of changing frequency as a rotating phasor.
#pragma once

#include <cmath>
#include <complex>
#include <numbers>

namespace hushmill::test {

class Oscillator {
 public:
  void start(double phase_rad) { re_ = std::cos(phase_rad), im_ = std::sin(phase_rad); }
  /// One sample on at `hz`. Cheap while the frequency stays the same.
  double next(double hz, double rate_hz) {
    if (hz != hz_) {
      const double w = 2.0 * std::numbers::pi * hz / rate_hz;
      step_re_ = std::cos(w);
      step_im_ = std::sin(w);
      hz_ = hz;
    }
    const double re = re_ * step_re_ - im_ * step_im_;
    im_ = re_ * step_im_ + im_ * step_re_;
    re_ = re;
    return im_;
  }

 private:
  double re_ = 1, im_ = 0, hz_ = 0, step_re_ = 1, step_im_ = 0;
};

}  // namespace hushmill::test
