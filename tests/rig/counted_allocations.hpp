// How often this program has allocated.
#pragma once

namespace hushmill::test {
long long allocations_so_far() noexcept;
}  // namespace hushmill::test
