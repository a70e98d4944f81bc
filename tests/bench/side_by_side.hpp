// Independent pieces of work on two threads. The answers do not depend on who took which.
#pragma once

#include <atomic>
#include <cstddef>
#include <exception>
#include <mutex>
#include <thread>

namespace hushmill::bench {

/// Calls `work(i)` once for every i below `count`. The first exception ends both threads and is thrown on.
template <typename Work>
void side_by_side(std::size_t count, const Work& work) {
  std::atomic<std::size_t> next{0};
  std::exception_ptr trouble;
  std::mutex guard;
  const auto run = [&] {
    try {
      for (std::size_t i = next++; i < count; i = next++) work(i);
    } catch (...) {
      const std::lock_guard<std::mutex> lock(guard);
      if (!trouble) trouble = std::current_exception();
      next = count;
    }
  };
  std::thread other(run);
  run();
  other.join();
  if (trouble) std::rethrow_exception(trouble);
}

}  // namespace hushmill::bench
