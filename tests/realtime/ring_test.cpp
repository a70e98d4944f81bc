#include "realtime/ring.hpp"

#include <array>
#include <cstdint>
#include <numeric>
#include <thread>
#include <vector>

#include "support/catch.hpp"

using hushmill::realtime::Ring;

TEST_CASE("a ring gives back in order, through many turns round its end") {
  Ring<int> ring(7);
  int next_in = 0;
  int next_out = 0;
  for (int round = 0; round < 1000; ++round) {
    const std::array<int, 3> in = {next_in, next_in + 1, next_in + 2};
    REQUIRE(ring.push(in) == 3);
    next_in += 3;
    std::array<int, 4> out{};
    const std::size_t got = ring.pop(std::span(out).first(3));
    REQUIRE(got == 3);
    for (std::size_t i = 0; i < got; ++i) REQUIRE(out[i] == next_out++);
  }
  CHECK(ring.lost() == 0);
}

TEST_CASE("a full ring keeps what it has, and counts every value it turned away") {
  Ring<int> ring(5);
  CHECK(ring.capacity() == 5);
  CHECK(ring.room() == 5);
  const std::array<int, 8> in = {1, 2, 3, 4, 5, 6, 7, 8};
  CHECK(ring.push(in) == 5);
  CHECK(ring.lost() == 3);
  CHECK(ring.room() == 0);
  CHECK_FALSE(ring.push(9));
  CHECK(ring.lost() == 4);
  ring.count_lost(100);
  CHECK(ring.lost() == 104);
  std::array<int, 8> out{};
  CHECK(ring.waiting() == 5);
  CHECK(ring.pop(out) == 5);
  CHECK(out == std::array<int, 8>{1, 2, 3, 4, 5, 0, 0, 0});
  int value = 0;
  CHECK_FALSE(ring.pop(value));
  CHECK(ring.push(10));
  REQUIRE(ring.pop(value));
  CHECK(value == 10);
}

TEST_CASE("between two threads nothing is doubled, swapped or lost uncounted") {
  // The pusher never waits, so some is lost; what arrives must be in order, and arrived plus lost must be all.
  Ring<std::uint64_t> ring(1024);
  constexpr std::uint64_t kCount = 2'000'000;
  std::thread pusher([&ring] {
    std::array<std::uint64_t, 64> block{};
    for (std::uint64_t at = 0; at < kCount; at += block.size()) {
      std::iota(block.begin(), block.end(), at);
      ring.push(block);
    }
  });
  std::uint64_t arrived = 0;
  std::uint64_t last = 0;
  bool in_order = true;
  std::vector<std::uint64_t> out(100);
  const auto drain = [&] {
    std::size_t got = 0;
    while ((got = ring.pop(out)) > 0) {
      for (std::size_t i = 0; i < got; ++i) {
        in_order = in_order && (arrived == 0 || out[i] > last);
        last = out[i];
        ++arrived;
      }
    }
  };
  while (arrived + ring.lost() < kCount) {
    drain();
    std::this_thread::yield();
  }
  pusher.join();
  drain();
  CHECK(in_order);
  CHECK(arrived + ring.lost() == kCount);
  CHECK(arrived > 0);
}

TEST_CASE("a pusher that waits for room loses nothing") {
  Ring<std::uint64_t> ring(97);
  constexpr std::uint64_t kCount = 500'000;
  std::thread pusher([&ring] {
    for (std::uint64_t at = 0; at < kCount;) {
      if (ring.room() > 0) {
        ring.push(at++);
      } else {
        std::this_thread::yield();
      }
    }
  });
  std::uint64_t expected = 0;
  std::uint64_t value = 0;
  bool all_in_order = true;
  while (expected < kCount) {
    if (ring.pop(value)) {
      all_in_order = all_in_order && value == expected;
      ++expected;
    } else {
      std::this_thread::yield();
    }
  }
  pusher.join();
  CHECK(all_in_order);
  CHECK(ring.lost() == 0);
}
