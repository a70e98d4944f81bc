#include "rig/decimator.hpp"

#include <cmath>

#include "cutting/mode.hpp"

namespace hushmill::rig {
namespace {

constexpr double kBeta = 7.857;  // 80 dB
constexpr int kTapsPerFactor = 32;

double bessel_i0(double x) {
  double sum = 1;
  double term = 1;
  for (int n = 1; n < 60; ++n) {
    term *= (0.5 * x / n) * (0.5 * x / n);
    sum += term;
  }
  return sum;
}

}  // namespace

Decimator::Decimator(int factor) {
  using cutting::kPi;
  if (factor <= 1) {
    taps_ = {1.0F};
  } else {
    const int half = kTapsPerFactor * factor / 2;
    const double cutoff = 0.5 / factor;
    std::vector<double> taps;
    double sum = 0;
    for (int n = -half; n <= half; ++n) {
      const double share = static_cast<double>(n) / half;
      const double window = bessel_i0(kBeta * std::sqrt(1.0 - share * share)) / bessel_i0(kBeta);
      const double ideal = n == 0 ? 2.0 * cutoff : std::sin(2.0 * kPi * cutoff * n) / (kPi * n);
      taps.push_back(ideal * window);
      sum += taps.back();
    }
    for (const double tap : taps) taps_.push_back(static_cast<float>(tap / sum));
  }
  ring_.resize(2 * taps_.size());
}

void Decimator::push(const Frame& frame) noexcept {
  ring_[at_] = frame;
  ring_[at_ + taps_.size()] = frame;
  at_ = at_ + 1 == taps_.size() ? 0 : at_ + 1;
}

Decimator::Frame Decimator::filtered() const noexcept {
  const std::size_t count = taps_.size();
  const float* taps = taps_.data();
  const Frame* oldest = ring_.data() + at_;
  float a = 0;
  float b = 0;
  float c = 0;
  float d = 0;
  const std::size_t half = count / 2;  // the taps are the same from both ends
  for (std::size_t n = 0; n < half; ++n) {
    const Frame& early = oldest[n];
    const Frame& late = oldest[count - 1 - n];
    a += taps[n] * (early[0] + late[0]);
    b += taps[n] * (early[1] + late[1]);
    c += taps[n] * (early[2] + late[2]);
    d += taps[n] * (early[3] + late[3]);
  }
  const Frame& middle = oldest[half];
  return {a + taps[half] * middle[0], b + taps[half] * middle[1], c + taps[half] * middle[2],
          d + taps[half] * middle[3]};
}

}  // namespace hushmill::rig
