#include "signal/decimator.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace hushmill::signal {

namespace {
// Modified Bessel function of order 0, for the Kaiser window (power series).
double bessel_i0(double x) noexcept {
  double sum = 1;
  double term = 1;
  for (int k = 1; k < 40; ++k) {
    term *= (x / (2.0 * k)) * (x / (2.0 * k));
    sum += term;
  }
  return sum;
}
}  // namespace

Decimator::Decimator(std::size_t factor) : factor_(factor) {
  if (factor == 0) throw std::invalid_argument("decimation factor is 0; 1 or more would be right");
  if (factor == 1) return;
  // Kaiser's design formula: beta for 70 dB, length for a transition from 0.42 to 0.58 of the new rate (what folds
  // back lands above the pass band).
  constexpr double kBeta = 6.755;
  const double cutoff = 0.5 / static_cast<double>(factor);
  const std::size_t half = 14 * factor;
  taps_.resize(2 * half + 1);
  double sum = 0;
  for (std::size_t n = 0; n < taps_.size(); ++n) {
    const double t = static_cast<double>(n) - static_cast<double>(half);
    const double sinc = t == 0 ? 2 * cutoff : std::sin(2 * std::numbers::pi * cutoff * t) / (std::numbers::pi * t);
    const double r = t / static_cast<double>(half + 1);
    const double tap = sinc * bessel_i0(kBeta * std::sqrt(1 - r * r)) / bessel_i0(kBeta);
    taps_[n] = static_cast<float>(tap);
    sum += tap;
  }
  for (float& tap : taps_) tap /= static_cast<float>(sum);
  past_.assign(2 * taps_.size(), 0.0F);
}

bool Decimator::process(float in, float& out) noexcept {
  if (factor_ == 1) {
    out = in;
    return true;
  }
  const std::size_t size = taps_.size();
  past_[write_] = in;
  past_[write_ + size] = in;
  write_ = write_ + 1 == size ? 0 : write_ + 1;
  phase_ = phase_ + 1 == factor_ ? 0 : phase_ + 1;
  if (phase_ != 0) return false;
  // The filter is symmetric, so the order of the samples does not matter; half the products are saved by pairing.
  const float* x = past_.data() + write_;
  const std::size_t half = size / 2;
  float sums[4] = {0, 0, 0, 0};
  std::size_t n = 0;
  for (; n + 4 <= half; n += 4)
    for (std::size_t lane = 0; lane < 4; ++lane)
      sums[lane] += taps_[n + lane] * (x[n + lane] + x[size - 1 - n - lane]);
  for (; n < half; ++n) sums[0] += taps_[n] * (x[n] + x[size - 1 - n]);
  out = (sums[0] + sums[1]) + (sums[2] + sums[3]) + taps_[half] * x[half];
  return true;
}

void Decimator::reset() noexcept {
  std::fill(past_.begin(), past_.end(), 0.0F);
  write_ = 0;
  phase_ = 0;
}

}  // namespace hushmill::signal
