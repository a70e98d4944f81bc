#include "listen/background.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr std::size_t kFloorBins = 16;   // bins in a floor block
constexpr std::size_t kFloorStep = 8;    // blocks overlap by half
constexpr std::size_t kFloorReach = 3;   // blocks on either side in the median over blocks
constexpr double kBlockS = 0.1;          // rows are averaged over this before they enter the history
constexpr std::size_t kBlocks = 20;      // 2 s of history
constexpr std::size_t kSkipBlocks = 2;   // the newest blocks that do not count yet
constexpr std::size_t kLeastBlocks = 3;
}  // namespace

Background::Background(std::size_t bins, double row_s)
    : bins_(bins),
      rows_per_block_(std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(kBlockS / row_s)))),
      sum_(bins, 0.0F),
      blocks_((kBlocks + kSkipBlocks) * bins, 0.0F),
      floor_(bins, 0.0F),
      history_(bins, 0.0F),
      medians_(bins / kFloorStep + 2, 0.0F),
      scratch_(64, 0.0F) {}

void Background::process(std::span<const float> power, std::span<const std::uint8_t> held) {
  find_floor(power);
  for (std::size_t k = 0; k < bins_; ++k) sum_[k] += held[k] != 0 ? std::min(power[k], history_[k]) : power[k];
  if (++rows_in_block_ == rows_per_block_) close_block();
}

void Background::find_floor(std::span<const float> power) {
  std::size_t count = 0;
  for (std::size_t start = 0; start + kFloorBins <= bins_; start += kFloorStep, ++count) {
    std::array<float, kFloorBins> block;
    std::copy_n(power.begin() + static_cast<std::ptrdiff_t>(start), kFloorBins, block.begin());
    std::nth_element(block.begin(), block.begin() + kFloorBins / 2, block.end());
    medians_[count] = block[kFloorBins / 2];
  }
  if (count == 0) {
    std::fill(floor_.begin(), floor_.end(), 0.0F);
    return;
  }
  // The median of noise power is ln 2 of its mean.
  constexpr float kMeanOverMedian = 1.4427F;
  for (std::size_t b = 0; b < count; ++b) {
    const std::size_t low = b >= kFloorReach ? b - kFloorReach : 0;
    const std::size_t high = std::min(count - 1, b + kFloorReach);
    std::array<float, 2 * kFloorReach + 1> around;
    const std::size_t n = high - low + 1;
    std::copy_n(medians_.begin() + static_cast<std::ptrdiff_t>(low), n, around.begin());
    std::nth_element(around.begin(), around.begin() + static_cast<std::ptrdiff_t>(n / 2),
                     around.begin() + static_cast<std::ptrdiff_t>(n));
    const float level = kMeanOverMedian * around[n / 2];
    const std::size_t from = b == 0 ? 0 : b * kFloorStep + kFloorBins / 2 - kFloorStep / 2;
    const std::size_t to = b + 1 == count ? bins_ : (b + 1) * kFloorStep + kFloorBins / 2 - kFloorStep / 2;
    std::fill(floor_.begin() + static_cast<std::ptrdiff_t>(from), floor_.begin() + static_cast<std::ptrdiff_t>(to),
              level + 1e-16F);
  }
}

void Background::close_block() {
  constexpr std::size_t kRing = kBlocks + kSkipBlocks;
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
  const std::size_t rank = (3 * n) / 4;
  std::array<float, kBlocks> past;
  for (std::size_t k = 0; k < bins_; ++k) {
    for (std::size_t i = 0; i < n; ++i) past[i] = blocks_[((oldest + i) % kRing) * bins_ + k];
    const auto end = past.begin() + static_cast<std::ptrdiff_t>(n);
    std::nth_element(past.begin(), past.begin() + static_cast<std::ptrdiff_t>(rank), end);
    history_[k] = past[rank];
  }
}

void Background::forget() noexcept {
  block_count_ = 0;
  rows_in_block_ = 0;
  std::fill(sum_.begin(), sum_.end(), 0.0F);
  std::fill(history_.begin(), history_.end(), 0.0F);
}

}  // namespace hushmill::listen
