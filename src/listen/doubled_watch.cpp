#include "listen/doubled_watch.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr std::size_t kProbeEvery = 16;  // a doubled buffer of 64 holds three probes
constexpr float kLeastPeak = 1e-3F;      // quieter than 32 steps of 16 bits, neighbours meet by chance
constexpr int kLeastDoubled = 2;

bool repeats(std::span<const float> x, std::size_t at, std::size_t length) noexcept {
  return x[at] == x[at - length] && x[at - 1] == x[at - 1 - length] && x[at - 2] == x[at - 2 - length] && x[at - 3] == x[at - 3 - length];
}
}  // namespace

void DoubledWatch::end_run(const InputFrame& frame, std::size_t at, std::size_t length) noexcept {
  const auto x = frame.past_and_frame;
  std::size_t first = at;
  float low = x[at], high = x[at];
  while (first > length && at - first < length + 2 * kProbeEvery && x[first] == x[first - length]) {
    low = std::min(low, x[first]);
    high = std::max(high, x[first]);
    --first;
  }
  const std::size_t run = at - first;
  if (run + 2 * kProbeEvery < length || run > length + kProbeEvery || high - low < kLeastPeak) return;
  last_s_ = frame.end_s - static_cast<double>(x.size() - first) / frame.rate_hz;
  if (doubled_++ == 0) first_s_ = last_s_;
}

void DoubledWatch::process(const InputFrame& frame) noexcept {
  const auto x = frame.past_and_frame;
  for (std::size_t j = 0; j < kLengths.size(); ++j) {
    const std::size_t length = kLengths[j];
    if (2 * length + 4 * kProbeEvery > frame.past) break;
    for (std::size_t i = frame.past; i < x.size(); i += kProbeEvery) {
      const bool equal = repeats(x, i, length);
      if (!equal && equal_[j]) end_run(frame, i - kProbeEvery, length);
      equal_[j] = equal;
    }
  }
}

std::optional<MicrophoneFinding> DoubledWatch::finding() const noexcept {
  if (doubled_ < kLeastDoubled) return std::nullopt;
  return MicrophoneFinding{Warning::dropped_samples, first_s_, last_s_, static_cast<double>(doubled_)};
}

}  // namespace hushmill::listen
