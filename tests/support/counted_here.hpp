// How often the calling thread has allocated with operator new. Linking counted_here.cpp replaces the program's operator new
// by one that counts for each thread by itself, so that counting costs next to nothing and no thread waits for another.
#pragma once

namespace hushmill::test {
long long allocations_here() noexcept;
}  // namespace hushmill::test
