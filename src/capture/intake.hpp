// The audio thread's half of a microphone: one bounded copy into a ring, and marks where something was lost.
//
// Knows no device, so that it can be tested and timed without one. Nothing here allocates after construction.
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "capture/audio_stream.hpp"
#include "capture/channel.hpp"
#include "capture/sides.hpp"
#include "capture/source.hpp"
#include "realtime/ring.hpp"

namespace hushmill::capture {

class Intake : public AudioCall {
 public:
  /// Holds back at most `frames` frames of `channels` interleaved samples for a listener that is late.
  Intake(int channels, std::size_t frames);
  /// Watches both channels on behalf of the one that will be asked for. Before the first call only.
  void watch_sides(double sample_rate_hz, Channel chosen) noexcept { sides_.emplace(sample_rate_hz, static_cast<int>(channels_), chosen); }
  /// [listening thread]
  SidesFault sides_fault() const noexcept { return sides_ ? sides_->fault() : SidesFault::none; }

  /// Whole frames only go in; a frame that does not fit is lost and counted. Where the device says that it lost some
  /// but not how many, one block is counted: the least that sound systems drop. [audio thread]
  void input(std::span<const float> interleaved, bool lost_before) noexcept override;

  /// Fills the front of `mono` with the chosen channel and says how many. Stops short at a gap. [listening thread]
  std::size_t pop(std::span<float> mono, Channel channel) noexcept;
  /// The gap just before the next frame to be popped, once. [listening thread]
  std::optional<Gap> take_gap() noexcept { return std::exchange(reached_gap_, std::nullopt); }
  /// Frames that came and were not popped yet. [listening thread]
  std::size_t waiting_frames() const noexcept { return ring_.waiting() / channels_; }
  /// [any thread]
  std::uint64_t lost_frames() const noexcept { return ring_.lost() / channels_; }
  /// Blocks that came in, as a sign of life. [any thread]
  std::uint64_t blocks() const noexcept { return blocks_.load(std::memory_order_relaxed); }
  /// How often the device said that it had lost some. [any thread]
  std::uint64_t device_losses() const noexcept { return device_losses_.load(std::memory_order_relaxed); }

 private:
  void lose(std::size_t samples) noexcept;
  void reach(Gap gap) noexcept;

  std::size_t channels_;
  realtime::Ring<float> ring_;
  realtime::Ring<Gap> gaps_;  // in order; a mark is pushed before the first frame after it

  // The audio thread's.
  std::uint64_t pushed_frames_ = 0;
  std::uint64_t unmarked_frames_ = 0;  // lost since the last frame that was pushed

  // The listening thread's.
  std::uint64_t popped_frames_ = 0;
  std::optional<Gap> next_gap_;
  std::optional<Gap> reached_gap_;
  std::optional<Sides> sides_;
  std::vector<float> frames_;  // on its way from the ring to one channel

  std::atomic<std::uint64_t> blocks_{0};
  std::atomic<std::uint64_t> device_losses_{0};
};

}  // namespace hushmill::capture
