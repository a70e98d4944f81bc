#include "signal/decimator.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace hushmill::signal {

namespace {
constexpr std::size_t kTogether = 8;

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
  size_ = taps_.size();
  taps_.resize((size_ + kTogether - 1) / kTogether * kTogether, 0.0F);
  past_.assign(size_ + taps_.size(), 0.0F);
}

// Eight sums at once: a processor adds several numbers in one go, and no addition waits for the one before.
float Decimator::filtered() const noexcept {
  const float* x = past_.data() + write_;
  float sums[kTogether] = {};
  for (std::size_t n = 0; n < taps_.size(); n += kTogether)
    for (std::size_t lane = 0; lane < kTogether; ++lane) sums[lane] += taps_[n + lane] * x[n + lane];
  return ((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7]));
}

void Decimator::reset() noexcept {
  std::fill(past_.begin(), past_.end(), 0.0F);
  write_ = 0;
  phase_ = 0;
}

}  // namespace hushmill::signal
