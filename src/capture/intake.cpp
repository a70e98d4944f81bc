#include "capture/intake.hpp"

#include <algorithm>

namespace hushmill::capture {
namespace {

constexpr std::size_t kPieceFrames = 1024;

}  // namespace

Intake::Intake(int channels, std::size_t frames)
    : channels_(static_cast<std::size_t>(std::max(channels, 1))),
      ring_(frames * channels_),
      frames_(kPieceFrames * channels_) {}

void Intake::input(std::span<const float> interleaved, bool lost_before) noexcept {
  // Only this thread writes the counts, so a load and a store do.
  blocks_.store(blocks_.load(std::memory_order_relaxed) + 1, std::memory_order_relaxed);
  const std::size_t whole = interleaved.size() / channels_ * channels_;
  if (lost_before) {
    device_losses_.store(device_losses_.load(std::memory_order_relaxed) + 1, std::memory_order_relaxed);
    ring_.count_lost(whole);
  }
  const std::size_t fits = std::min(whole, ring_.room() / channels_ * channels_);
  ring_.push(interleaved.first(fits));
  if (fits < whole) ring_.count_lost(whole - fits);
}

std::size_t Intake::pop(std::span<float> mono, Channel channel) noexcept {
  std::size_t done = 0;
  while (done < mono.size()) {
    const std::size_t wanted = std::min(mono.size() - done, kPieceFrames) * channels_;
    const std::size_t got = ring_.pop(std::span(frames_).first(wanted));
    if (got == 0) break;
    done += pick_channel(std::span<const float>(frames_).first(got), static_cast<int>(channels_), channel,
                         mono.subspan(done));
  }
  return done;
}

}  // namespace hushmill::capture
