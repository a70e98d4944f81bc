// The audio thread's half of a loudspeaker: takes samples from a ring, and silence when there are none.
//
// The two ends keep different clocks, so now and then the ring runs dry or full. Once dry it stays silent until half of
// it is filled again: one gap instead of a rattle. Delay: what the ring holds. Nothing allocates after construction.
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <span>

#include "capture/audio_stream.hpp"
#include "realtime/ring.hpp"

namespace hushmill::capture {

class Outlet : public AudioCall {
 public:
  /// Plays the same samples on all of `channels`, from a ring that holds `samples`.
  Outlet(int channels, std::size_t samples);

  /// [audio thread]
  void output(std::span<float> interleaved) noexcept override;
  /// Takes what fits; the rest is dropped and counted. [listening thread]
  void push(std::span<const float> samples) noexcept { ring_.push(samples); }
  /// Samples that came too fast to be played. [any thread]
  std::uint64_t dropped() const noexcept { return ring_.lost(); }
  /// How often the ring ran dry while playing. [any thread]
  std::uint64_t gaps() const noexcept { return gaps_.load(std::memory_order_relaxed); }

 private:
  std::size_t channels_;
  realtime::Ring<float> ring_;
  bool filling_ = true;  // the audio thread's
  std::atomic<std::uint64_t> gaps_{0};
};

}  // namespace hushmill::capture
