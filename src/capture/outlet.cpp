#include "capture/outlet.hpp"

#include <algorithm>

namespace hushmill::capture {

Outlet::Outlet(int channels, std::size_t samples)
    : channels_(static_cast<std::size_t>(std::max(channels, 1))), ring_(samples) {}

void Outlet::output(std::span<float> interleaved) noexcept {
  if (filling_ && ring_.waiting() >= ring_.capacity() / 2) filling_ = false;
  std::size_t at = 0;
  float sample = 0;
  while (!filling_ && at + channels_ <= interleaved.size()) {
    if (!ring_.pop(sample)) {
      filling_ = true;
      gaps_.store(gaps_.load(std::memory_order_relaxed) + 1, std::memory_order_relaxed);
      break;
    }
    for (std::size_t channel = 0; channel < channels_; ++channel) interleaved[at++] = sample;
  }
  std::fill(interleaved.begin() + static_cast<std::ptrdiff_t>(at), interleaved.end(), 0.0f);
}

}  // namespace hushmill::capture
