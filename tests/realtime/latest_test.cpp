#include "realtime/latest.hpp"

#include <atomic>
#include <cstddef>
#include <string>
#include <thread>
#include <vector>

#include "support/catch.hpp"

using hushmill::realtime::Latest;

TEST_CASE("the reader gets the newest value once, and what was overtaken is gone") {
  Latest<std::string> latest;
  std::string value = "untouched";
  CHECK_FALSE(latest.take(value));
  CHECK(value == "untouched");
  CHECK(latest.taken());
  for (const char* text : {"one", "two", "three", "four", "five"}) {
    latest.draft() = text;
    latest.publish();
    CHECK_FALSE(latest.taken());
  }
  REQUIRE(latest.take(value));
  CHECK(value == "five");
  CHECK(latest.taken());
  CHECK_FALSE(latest.take(value));
  CHECK(value == "five");
  latest.draft() = "six";
  latest.publish();
  REQUIRE(latest.take(value));
  CHECK(value == "six");
}

TEST_CASE("a value is never torn, never older than the one before, and the last one arrives") {
  Latest<std::vector<std::size_t>> latest;
  constexpr std::size_t kCount = 200'000;
  std::thread writer([&latest] {
    for (std::size_t n = 1; n <= kCount; ++n) {
      latest.draft().assign(50, n);
      latest.publish();
    }
  });
  std::vector<std::size_t> value;
  std::size_t last = 0;
  bool whole = true;
  bool forward = true;
  while (last < kCount) {
    if (!latest.take(value)) {
      std::this_thread::yield();
      continue;
    }
    whole = whole && value.size() == 50;
    for (const std::size_t item : value) whole = whole && item == value[0];
    forward = forward && value[0] > last;
    last = value[0];
  }
  writer.join();
  CHECK(whole);
  CHECK(forward);
}

TEST_CASE("a peak carried on until it was taken is never missed, however seldom the reader looks") {
  // What Live does with the level: the writer holds the largest since the last value that was taken.
  struct Level {
    int peak = 0;
    bool last = false;
  };
  Latest<Level> latest;
  constexpr int kCount = 100'000;
  constexpr int kClickEvery = 997;  // every so often one value stands out
  std::thread writer([&latest] {
    int held = 0;
    for (int n = 1; n <= kCount; ++n) {
      const int now = n % kClickEvery == 0 ? n : 0;
      held = latest.taken() ? now : std::max(held, now);
      latest.draft() = {held, n == kCount};
      latest.publish();
    }
  });
  int largest = 0;
  Level level;
  while (!level.last) {
    if (latest.take(level)) largest = std::max(largest, level.peak);
    for (int i = 0; i < 50; ++i) std::this_thread::yield();
  }
  writer.join();
  CHECK(largest == kCount / kClickEvery * kClickEvery);
}
