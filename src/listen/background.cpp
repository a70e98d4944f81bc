#include "listen/background.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr std::size_t kGroup = 5;       // bins that give one low rank
constexpr std::size_t kFarStep = 2;     // groups between the medians that give the last median
constexpr std::size_t kEdge = 2 * kFarStep;
constexpr double kBlockS = 0.2;         // rows are averaged over this before they enter the history
constexpr std::size_t kBlocks = 10;     // 2 s of history
constexpr std::size_t kSkipBlocks = 1;  // the newest block does not count yet
constexpr std::size_t kRing = kBlocks + kSkipBlocks;
constexpr std::size_t kLeastBlocks = 2;
// Mean of noise power under a Hann window over this floor (measured by the test of this file).
constexpr float kMeanOverRank = 2.41F;

float median_of_five(float a, float b, float c, float d, float e) noexcept {
  const float low = std::max(std::min(a, b), std::min(c, d));   // neither of these two can be
  const float high = std::min(std::max(a, b), std::max(c, d));  // the smallest or the largest of five
  return std::max(std::min(low, high), std::min(std::max(low, high), e));
}

// Second smallest of five: lines that stand a few bins apart fill more than half of the bins, but not four of five.
float second_of_five(float a, float b, float c, float d, float e) noexcept {
  const float low1 = std::min(a, b), high1 = std::max(a, b);
  const float low2 = std::min(c, d), high2 = std::max(c, d);
  const float least = std::min(low1, low2);
  const float next = std::min({std::max(low1, low2), high1, high2});
  return std::min(next, std::max(least, e));
}
void repeat_ends(std::vector<float>& values) noexcept {
  for (std::size_t i = 0; i < kEdge; ++i) {
    values[i] = values[kEdge];
    values[values.size() - 1 - i] = values[values.size() - 1 - kEdge];
  }
}
}  // namespace

Background::Background(std::size_t bins, double row_s)
    : bins_(bins),
      rows_per_block_(std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(kBlockS / row_s)))),
      sum_(bins, 0.0F),
      blocks_(kRing * bins, 0.0F),
      floor_(bins, 0.0F),
      history_(bins, 0.0F),
      highest_(bins, 0.0F),
      second_(bins, 0.0F),
      groups_(std::max<std::size_t>(1, bins / kGroup)),
      low_(groups_ + 2 * kEdge, 0.0F),
      medians_(low_.size(), 0.0F),
      levels_(groups_, 0.0F) {}

void Background::process(std::span<const float> power, std::span<const std::uint8_t> held) {
  find_floor(power);
  for (std::size_t k = 0; k < bins_; ++k) sum_[k] += held[k] != 0 ? std::min(power[k], history_[k]) : power[k];
  if (++rows_in_block_ == rows_per_block_) close_block();
}

void Background::find_floor(std::span<const float> power) {
  const std::size_t groups = groups_;
  float* const low = low_.data() + kEdge;
  for (std::size_t g = 0; g < groups; ++g) {
    const float* p = power.data() + g * kGroup;
    low[g] = second_of_five(p[0], p[1], p[2], p[3], p[4]);
  }
  repeat_ends(low_);
  float* const medians = medians_.data() + kEdge;
  for (std::size_t g = 0; g < groups; ++g) {
    const float* l = low + g;
    medians[g] = median_of_five(l[-2], l[-1], l[0], l[1], l[2]);
  }
  repeat_ends(medians_);
  constexpr auto kFar = static_cast<std::ptrdiff_t>(kFarStep);
  for (std::size_t g = 0; g < groups; ++g) {
    const float* m = medians + g;
    levels_[g] = kMeanOverRank * median_of_five(m[-2 * kFar], m[-kFar], m[0], m[kFar], m[2 * kFar]) + 1e-16F;
  }
  float* floor = floor_.data();
  for (std::size_t g = 0; g < groups; ++g)
    for (std::size_t k = 0; k < kGroup; ++k) *floor++ = levels_[g];
  std::fill(floor_.begin() + static_cast<std::ptrdiff_t>(groups * kGroup), floor_.end(), levels_[groups - 1]);
}

void Background::close_block() {
  float* slot = blocks_.data() + (block_count_ % kRing) * bins_;
  const float scale = 1.0F / static_cast<float>(rows_in_block_);
  for (std::size_t k = 0; k < bins_; ++k) slot[k] = sum_[k] * scale;
  std::fill(sum_.begin(), sum_.end(), 0.0F);
  rows_in_block_ = 0;
  ++block_count_;

  const std::size_t known = std::min(block_count_, kRing);
  if (known < kSkipBlocks + kLeastBlocks) return;
  const std::size_t n = known - kSkipBlocks;
  const std::size_t oldest = block_count_ - known;
  std::fill(highest_.begin(), highest_.end(), 0.0F);
  std::fill(second_.begin(), second_.end(), 0.0F);
  std::fill(history_.begin(), history_.end(), 0.0F);
  // While fewer than ten blocks are known they count in turn, so that the rank keeps its meaning.
  for (std::size_t i = 0; i < kBlocks; ++i) {
    const float* block = blocks_.data() + ((oldest + i % n) % kRing) * bins_;
    for (std::size_t k = 0; k < bins_; ++k) {
      const float not_highest = std::min(highest_[k], block[k]);
      highest_[k] = std::max(highest_[k], block[k]);
      const float not_second = std::min(second_[k], not_highest);
      second_[k] = std::max(second_[k], not_highest);
      history_[k] = std::max(history_[k], not_second);
    }
  }
}

void Background::forget() noexcept {
  block_count_ = 0;
  rows_in_block_ = 0;
  std::fill(sum_.begin(), sum_.end(), 0.0F);
  std::fill(history_.begin(), history_.end(), 0.0F);
}

}  // namespace hushmill::listen
