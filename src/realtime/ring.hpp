// A ring for one thread that pushes and one that pops, which counts what it had to turn away.
//
// Nobody waits for anybody: push and pop are wait-free, allocate nothing and make no system call, so either end may be
// the audio thread. When the ring is full the newest values are the ones lost. Adds no delay of its own.
#pragma once

#include <atomic>
#include <boost/lockfree/spsc_queue.hpp>
#include <cstddef>
#include <cstdint>
#include <span>
#include <type_traits>

namespace hushmill::realtime {

template <typename T>
class Ring {
  static_assert(std::is_nothrow_copy_constructible_v<T> && std::is_nothrow_copy_assignable_v<T>,
                "what crosses a ring must copy without failing");

 public:
  /// Room for `capacity` values, taken from memory here and never again.
  explicit Ring(std::size_t capacity) : queue_(capacity), capacity_(capacity) {}

  /// Takes as many of `values` as fit, from the front, and says how many; the others count as lost. [pushing thread]
  std::size_t push(std::span<const T> values) noexcept {
    const std::size_t taken = queue_.push(values.data(), values.size());
    if (taken < values.size()) count_lost(values.size() - taken);
    return taken;
  }
  /// False, and one more lost, when the ring is full. [pushing thread]
  bool push(const T& value) noexcept {
    const bool taken = queue_.push(value);
    if (!taken) count_lost(1);
    return taken;
  }

  /// Fills the front of `values` with the oldest and says how many. [popping thread]
  std::size_t pop(std::span<T> values) noexcept { return queue_.pop(values.data(), values.size()); }
  /// False when the ring is empty. [popping thread]
  bool pop(T& value) noexcept { return queue_.pop(value); }

  /// How many can surely be pushed now. [pushing thread]
  std::size_t room() const noexcept { return queue_.write_available(); }
  /// How many can surely be popped now. [popping thread]
  std::size_t waiting() const noexcept { return queue_.read_available(); }
  /// Adds values that were lost before they came to the ring, so that there is one count. [pushing thread]
  void count_lost(std::uint64_t values) noexcept {
    // Only the pushing thread writes, so no read-modify-write is needed.
    lost_.store(lost_.load(std::memory_order_relaxed) + values, std::memory_order_relaxed);
  }
  /// All values turned away since the start. [any thread]
  std::uint64_t lost() const noexcept { return lost_.load(std::memory_order_relaxed); }
  std::size_t capacity() const noexcept { return capacity_; }

 private:
  static_assert(std::atomic<std::uint64_t>::is_always_lock_free);
  boost::lockfree::spsc_queue<T> queue_;
  std::size_t capacity_;
  std::atomic<std::uint64_t> lost_{0};
};

}  // namespace hushmill::realtime
