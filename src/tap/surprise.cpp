#include "tap/surprise.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "signal/decimator.hpp"

namespace hushmill::tap {

namespace {
constexpr std::size_t kMostSurpriseOrder = 32;

// Coefficients a with x[n] ≈ −Σ a[k]·x[n−k], k = 1 … order.
std::array<double, kMostSurpriseOrder + 1> prediction(std::span<const double> x, std::size_t order) {
  std::array<double, kMostSurpriseOrder + 1> r{}, a{}, last{};
  for (std::size_t lag = 0; lag <= order; ++lag)
    for (std::size_t n = lag; n < x.size(); ++n) r[lag] += x[n] * x[n - lag];
  r[0] *= 1 + 1e-7;
  a[0] = 1;
  double left = r[0];
  for (std::size_t m = 1; m <= order && left > 0; ++m) {
    double sum = r[m];
    for (std::size_t k = 1; k < m; ++k) sum += a[k] * r[m - k];
    const double reflect = -sum / left;
    last = a;
    for (std::size_t k = 1; k < m; ++k) a[k] = last[k] + reflect * last[m - k];
    a[m] = reflect;
    left *= 1 - reflect * reflect;
  }
  return a;
}

template <typename T>
double mean_square(std::span<const T> x) {
  double sum = 0;
  for (const T v : x) sum += static_cast<double>(v) * static_cast<double>(v);
  return x.empty() ? 0 : sum / static_cast<double>(x.size());
}
}  // namespace

std::vector<double> surprise(std::span<const float> sound, double rate_hz, const SurpriseAt& at, std::size_t learn_from, std::size_t learn_to) {
  const auto factor = std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(rate_hz / at.rate_hz)));
  signal::Decimator decimator(factor);
  const std::size_t late = decimator.latency_samples() / factor;
  std::vector<double> x;
  x.reserve(sound.size() / factor + late + 1);
  float out = 0;
  for (const float v : sound)
    if (decimator.process(v, out)) x.push_back(static_cast<double>(out));
  for (std::size_t n = 0; n < decimator.latency_samples(); ++n)
    if (decimator.process(0.0F, out)) x.push_back(static_cast<double>(out));
  x.erase(x.begin(), x.begin() + static_cast<std::ptrdiff_t>(std::min(late, x.size())));
  const std::size_t from = std::min(learn_from / factor, x.size()), to = std::clamp(learn_to / factor, from, x.size());
  const auto learned = std::span<const double>(x).subspan(from, to - from);
  const std::size_t first = std::min(learn_from, sound.size());
  const double all = mean_square(sound.subspan(first, std::clamp(learn_to, first, sound.size()) - first));
  if (mean_square(learned) < at.least_share * all) return {};
  const auto a = prediction(learned, at.order);
  const double step = rate_hz / static_cast<double>(factor) / 1000;  // samples in a millisecond
  std::vector<double> power(static_cast<std::size_t>(static_cast<double>(x.size()) / step) + 1);
  // What began before the recording, or goes on after it, is no surprise: there the prediction or the lowered rate lacks samples.
  for (std::size_t n = at.order + late; n + late < x.size(); ++n) {
    double sum = 0;
    for (std::size_t k = 0; k <= at.order; ++k) sum += a[k] * x[n - k];
    power[static_cast<std::size_t>(static_cast<double>(n) / step)] += sum * sum;
  }
  auto smooth = power;
  for (std::size_t i = 1; i + 1 < power.size(); ++i) smooth[i] = (power[i - 1] + power[i] + power[i + 1]) / 3;
  auto sorted = smooth;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  const double loudest = *std::max_element(smooth.begin(), smooth.end());
  const double usual = std::max(sorted[sorted.size() / 2], 1e-9 * loudest);  // digital silence is nothing to compare with
  if (usual > 0)
    for (double& v : smooth) v /= usual;
  return smooth;
}

}  // namespace hushmill::tap
