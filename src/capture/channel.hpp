// Which channel of a stereo door is listened to, and the arithmetic of it.
#pragma once

#include <cstddef>
#include <span>

namespace hushmill::capture {

/// `mix` is the mean of both; it cancels what the two channels hold in opposite phase. A mono door has but one answer.
enum class Channel { left, right, mix };

/// Interleaved frames in, mono out: one sample for each whole frame of `interleaved`, which must fit into `mono`.
/// Returns their number. `channels` is 1 or more; only the first two are looked at. Allocates nothing.
std::size_t pick_channel(std::span<const float> interleaved, int channels, Channel channel,
                         std::span<float> mono) noexcept;

}  // namespace hushmill::capture
