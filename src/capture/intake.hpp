// The audio thread's half of a microphone: one bounded copy into a ring, and counts of what was lost.
//
// Knows no device, so that it can be tested and timed without one. Nothing here allocates after construction.
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "capture/audio_stream.hpp"
#include "capture/channel.hpp"
#include "realtime/ring.hpp"

namespace hushmill::capture {

class Intake : public AudioCall {
 public:
  /// Holds back at most `frames` frames of `channels` interleaved samples for a listener that is late.
  Intake(int channels, std::size_t frames);

  /// Whole frames only go in; a frame that does not fit is lost and counted. Where the device says that it lost some
  /// but not how many, one block is counted: the least that sound systems drop. [audio thread]
  void input(std::span<const float> interleaved, bool lost_before) noexcept override;

  /// Fills the front of `mono` with the chosen channel and says how many. [listening thread]
  std::size_t pop(std::span<float> mono, Channel channel) noexcept;
  /// [any thread]
  std::uint64_t lost_frames() const noexcept { return ring_.lost() / channels_; }
  /// Blocks that came in, as a sign of life. [any thread]
  std::uint64_t blocks() const noexcept { return blocks_.load(std::memory_order_relaxed); }
  /// How often the device said that it had lost some. [any thread]
  std::uint64_t device_losses() const noexcept { return device_losses_.load(std::memory_order_relaxed); }

 private:
  std::size_t channels_;
  realtime::Ring<float> ring_;
  std::vector<float> frames_;  // on its way from the ring to one channel
  std::atomic<std::uint64_t> blocks_{0};
  std::atomic<std::uint64_t> device_losses_{0};
};

}  // namespace hushmill::capture
