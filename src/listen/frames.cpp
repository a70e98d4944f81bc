#include "listen/frames.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
// Chatter and the teeth speak below 9 kHz: a working rate of 20 kHz or a little more carries them at half the cost.
constexpr double kLeastWorkingRateHz = 20000;
// 256 samples at 24 kHz.
constexpr double kHopS = 256.0 / 24000.0;

std::size_t factor_for(double sample_rate_hz) noexcept {
  return std::max<std::size_t>(1, static_cast<std::size_t>(sample_rate_hz / kLeastWorkingRateHz));
}
}  // namespace

Frames::Frames(double sample_rate_hz, double longest_s)
    : decimator_(factor_for(sample_rate_hz)),
      working_rate_hz_(sample_rate_hz / static_cast<double>(decimator_.factor())),
      hop_samples_(static_cast<std::size_t>(std::lround(kHopS * working_rate_hz_))),
      size_(static_cast<std::size_t>(std::ceil(longest_s * working_rate_hz_)) + 16),
      past_(2 * size_, 0.0F) {}

bool Frames::push(float sample) noexcept {
  float out = 0;
  if (!decimator_.process(sample, out)) return false;
  past_[write_] = out;
  past_[write_ + size_] = out;
  write_ = write_ + 1 == size_ ? 0 : write_ + 1;
  in_hop_ = in_hop_ + 1 == hop_samples_ ? 0 : in_hop_ + 1;
  return in_hop_ == 0;
}

std::span<const float> Frames::last(std::size_t size) const noexcept {
  return std::span<const float>(past_).subspan(write_ + size_ - size, size);
}

}  // namespace hushmill::listen
