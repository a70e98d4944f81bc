#include "tap/onsets.hpp"

#include <algorithm>
#include <cmath>

#include "tap/surprise.hpp"

namespace hushmill::tap {

namespace {
constexpr double kOnsetOverUsual = 16;      // times the median: noise gets there less than once in an hour
constexpr double kOverBefore = 5;      // times the most of the last 20 ms
constexpr double kOfStrongest = 1e-4;  // −40 dB: what is weaker is no tap
constexpr std::size_t kBeforeMs = 20;
constexpr std::size_t kStepMs = 2;     // the milliseconds just before may hold the beginning of the push
constexpr double kTopWithinS = 0.005;
constexpr std::size_t kDeadMs = 120;   // a strike this soon after is a bounce or an echo and is judged with its tap
}  // namespace

std::vector<Onset> find_onsets(std::span<const float> sound, double rate_hz) {
  std::vector<Onset> onsets;
  if (sound.size() < static_cast<std::size_t>(0.1 * rate_hz)) return onsets;
  std::vector<double> power;
  for (const auto& way : kSurprises) {
    const auto one = surprise(sound, rate_hz, way, 0, sound.size());
    power.resize(std::max(power.size(), one.size()));
    for (std::size_t i = 0; i < one.size(); ++i) power[i] = std::max(power[i], one[i]);
  }
  const double least = std::max(kOnsetOverUsual, kOfStrongest * *std::max_element(power.begin(), power.end()));
  for (std::size_t i = 0; i < power.size(); ++i) {
    if (power[i] < least) continue;
    double before = 0;
    for (std::size_t k = i - std::min(i, kBeforeMs); k + kStepMs < i; ++k) before = std::max(before, power[k]);
    if (power[i] < kOverBefore * before) continue;
    Onset onset;
    onset.sample = std::min(sound.size() - 1, static_cast<std::size_t>(static_cast<double>(i) * 0.001 * rate_hz));
    const auto until = std::min(sound.size(), onset.sample + static_cast<std::size_t>(kTopWithinS * rate_hz));
    onset.top = onset.sample;
    for (std::size_t n = onset.sample; n < until; ++n)
      if (std::abs(sound[n]) > std::abs(sound[onset.top])) onset.top = n;
    for (std::size_t k = i; k < std::min(power.size(), i + 5); ++k) onset.strength = std::max(onset.strength, std::sqrt(power[k]));
    onsets.push_back(onset);
    i += kDeadMs;
  }
  return onsets;
}

}  // namespace hushmill::tap
