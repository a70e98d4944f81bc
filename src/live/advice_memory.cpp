#include "live/advice_memory.hpp"

#include <cmath>

namespace hushmill::live {
namespace {

constexpr double kSameToneWithin = 0.02, kSameSpeedWithin = 0.005;  // relative
constexpr std::size_t kMostKnown = 32;

}  // namespace

void AdviceMemory::add(const ChatterKey& key, const advise::Advice& advice) {
  if (known_.size() == kMostKnown) known_.erase(known_.begin());
  known_.push_back({key, advice});
}

const advise::Advice* AdviceMemory::find(const ChatterKey& key) const noexcept {
  for (auto one = known_.rbegin(); one != known_.rend(); ++one)
    if (one->key.known == key.known && std::abs(one->key.spindle_rpm / key.spindle_rpm - 1) < kSameSpeedWithin &&
        std::abs(one->key.chatter_hz / key.chatter_hz - 1) < kSameToneWithin)
      return &one->advice;
  return nullptr;
}

}  // namespace hushmill::live
