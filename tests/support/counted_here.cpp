#include "support/counted_here.hpp"

#include <cstdlib>
#include <new>

namespace {
thread_local long long count = 0;
}

namespace hushmill::test {
long long allocations_here() noexcept { return count; }
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
