// The newest value, for one thread that writes and one that reads at its own pace: three slots, one of them in passing.
//
// Nobody waits and nothing is torn: the writer always has a slot to fill, the reader always gets a whole value, and
// what was overtaken is gone. The writer can see whether its last value was taken, and so carry on what must not be
// missed (a peak, say). Slots are reused, so values that hold memory keep it. Values handed over are never shared.
#pragma once

#include <array>
#include <atomic>
#include <cstddef>
#include <utility>

namespace hushmill::realtime {

template <typename T>
class Latest {
 public:
  /// The slot to fill next. It holds some older value: overwrite all of it. [writing thread]
  T& draft() noexcept { return slots_[draft_]; }

  /// Makes the draft the newest value. [writing thread]
  void publish() noexcept {
    const unsigned passed = passing_.exchange(draft_ | kFresh, std::memory_order_acq_rel);
    draft_ = passed & kSlot;
  }

  /// Whether the last published value was taken; true before the first. [writing thread]
  bool taken() const noexcept { return (passing_.load(std::memory_order_acquire) & kFresh) == 0; }

  /// Swaps the newest value into `value`; false when there is none newer than the last one taken. [reading thread]
  bool take(T& value) {
    // Only the reader clears the mark, so a fresh value cannot vanish between this look and the exchange.
    if (taken()) return false;
    const unsigned passed = passing_.exchange(reading_, std::memory_order_acq_rel);
    reading_ = passed & kSlot;
    using std::swap;
    swap(value, slots_[reading_]);
    return true;
  }

 private:
  static constexpr unsigned kSlot = 3;
  static constexpr unsigned kFresh = 4;
  static_assert(std::atomic<unsigned>::is_always_lock_free);

  std::array<T, 3> slots_{};
  unsigned draft_ = 0;                // the writer's
  std::atomic<unsigned> passing_{1};  // between the two, with the mark of freshness
  unsigned reading_ = 2;              // the reader's
};

}  // namespace hushmill::realtime
