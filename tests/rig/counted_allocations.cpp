// This program's own operator new, which counts. A file of its own, so that no compiler mixes it up with its callers.
#include "counted_allocations.hpp"

#include <atomic>
#include <cstdlib>
#include <new>

namespace {
std::atomic<long long> count{0};
}

namespace hushmill::test {
long long allocations_so_far() noexcept { return count; }
}  // namespace hushmill::test

void* operator new(std::size_t size) {
  ++count;
  if (void* memory = std::malloc(size > 0 ? size : 1)) return memory;
  throw std::bad_alloc();
}
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
  ++count;
  return std::malloc(size > 0 ? size : 1);
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }
