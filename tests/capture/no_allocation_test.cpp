// The audio thread's halves allocate nothing: shown by counting every allocation of this program while they run.
#include <array>
#include <atomic>
#include <cstdlib>
#include <new>
#include <vector>

#include "capture/intake.hpp"
#include "capture/outlet.hpp"
#include "support/catch.hpp"

namespace {

std::atomic<long> allocations{0};

void* counted(std::size_t bytes) {
  ++allocations;
  if (void* memory = std::malloc(bytes == 0 ? 1 : bytes)) return memory;
  throw std::bad_alloc();
}

}  // namespace

// NOLINTBEGIN(misc-new-delete-overloads)
void* operator new(std::size_t bytes) { return counted(bytes); }
void* operator new[](std::size_t bytes) { return counted(bytes); }
// Sanitizers bring their own for these, which would not match what is freed below.
void* operator new(std::size_t bytes, const std::nothrow_t&) noexcept {
  return ++allocations, std::malloc(bytes == 0 ? 1 : bytes);
}
void* operator new[](std::size_t bytes, const std::nothrow_t&) noexcept {
  return ++allocations, std::malloc(bytes == 0 ? 1 : bytes);
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete[](void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }
void operator delete[](void* memory, std::size_t) noexcept { std::free(memory); }
// NOLINTEND(misc-new-delete-overloads)

using hushmill::capture::Channel;

TEST_CASE(
    "the audio thread's half of a microphone allocates nothing, be the ring free, full or the device losing some") {
  hushmill::capture::Intake intake(2, 4096);
  const std::vector<float> block(960);
  std::array<float, 600> mono{};
  const long before = allocations;
  REQUIRE(before > 0);  // the counting works
  for (int i = 0; i < 1000; ++i) intake.input(block, i % 7 == 0);
  for (int i = 0; i < 1000; ++i) {
    intake.input(block, false);
    intake.pop(mono, Channel::mix);
  }
  const long after = allocations;
  CHECK(after - before == 0);
  CHECK(intake.lost_frames() > 0);
}

TEST_CASE("the audio thread's half of a loudspeaker allocates nothing, be the ring filled or dry") {
  hushmill::capture::Outlet outlet(2, 4096);
  const std::vector<float> sound(480);
  std::vector<float> block(960);
  const long before = allocations;
  for (int i = 0; i < 1000; ++i) {
    if (i % 3 != 0) outlet.push(sound);
    outlet.output(block);
  }
  const long after = allocations;
  CHECK(after - before == 0);
  CHECK(outlet.gaps() > 0);
}
