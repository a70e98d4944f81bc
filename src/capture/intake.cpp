#include "capture/intake.hpp"

#include <algorithm>

namespace hushmill::capture {
namespace {

constexpr std::size_t kPieceFrames = 1024;
constexpr std::size_t kWaitingGaps = 64;

}  // namespace

Intake::Intake(int channels, std::size_t frames)
    : channels_(static_cast<std::size_t>(std::max(channels, 1))),
      ring_(frames * channels_),
      gaps_(kWaitingGaps),
      frames_(kPieceFrames * channels_) {}

void Intake::lose(std::size_t samples) noexcept {
  ring_.count_lost(samples);
  unmarked_frames_ += samples / channels_;
}

void Intake::input(std::span<const float> interleaved, bool lost_before) noexcept {
  // Only this thread writes the counts, so a load and a store do.
  blocks_.store(blocks_.load(std::memory_order_relaxed) + 1, std::memory_order_relaxed);
  const std::size_t whole = interleaved.size() / channels_ * channels_;
  if (lost_before) {
    device_losses_.store(device_losses_.load(std::memory_order_relaxed) + 1, std::memory_order_relaxed);
    lose(whole);
  }
  const std::size_t fits = std::min(whole, ring_.room() / channels_ * channels_);
  // With no room for the mark either, what is unmarked is added to the next gap.
  if (fits > 0 && unmarked_frames_ > 0 && gaps_.push(Gap{pushed_frames_, unmarked_frames_})) unmarked_frames_ = 0;
  ring_.push(interleaved.first(fits));
  pushed_frames_ += fits / channels_;
  if (fits < whole) lose(whole - fits);
}

void Intake::reach(Gap gap) noexcept {
  // Merged with one that nobody took, so that the sum stays right.
  reached_gap_ = Gap{gap.before_sample, gap.samples + (reached_gap_ ? reached_gap_->samples : 0)};
  next_gap_.reset();
}

std::size_t Intake::pop(std::span<float> mono, Channel channel) noexcept {
  std::size_t done = 0;
  while (done < mono.size()) {
    // In this order: the mark of a gap is pushed before the frames behind it, so for frames that are seen now the mark
    // is there to be seen afterwards.
    const std::size_t waiting = ring_.waiting() / channels_;
    Gap gap;
    if (!next_gap_ && gaps_.pop(gap)) next_gap_ = gap;
    std::size_t frames = std::min({mono.size() - done, kPieceFrames, waiting});
    if (next_gap_) frames = std::min<std::size_t>(frames, next_gap_->before_sample - popped_frames_);
    const std::size_t got = ring_.pop(std::span(frames_).first(frames * channels_)) / channels_;
    if (sides_) sides_->process(std::span<const float>(frames_).first(got * channels_));
    done += pick_channel(std::span<const float>(frames_).first(got * channels_), static_cast<int>(channels_), channel,
                         mono.subspan(done));
    popped_frames_ += got;
    if (next_gap_ && next_gap_->before_sample == popped_frames_) {
      reach(*next_gap_);
      break;
    }
    if (got == 0) break;
  }
  return done;
}

}  // namespace hushmill::capture
