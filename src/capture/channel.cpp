#include "capture/channel.hpp"

#include <algorithm>

namespace hushmill::capture {

std::size_t pick_channel(std::span<const float> interleaved, int channels, Channel channel,
                         std::span<float> mono) noexcept {
  const auto stride = static_cast<std::size_t>(std::max(channels, 1));
  const std::size_t frames = std::min(interleaved.size() / stride, mono.size());
  const std::size_t right = stride > 1 ? 1 : 0;
  for (std::size_t i = 0; i < frames; ++i) {
    const float* frame = &interleaved[i * stride];
    switch (channel) {
      case Channel::left:
        mono[i] = frame[0];
        break;
      case Channel::right:
        mono[i] = frame[right];
        break;
      case Channel::mix:
        mono[i] = 0.5f * (frame[0] + frame[right]);
        break;
    }
  }
  return frames;
}

}  // namespace hushmill::capture
