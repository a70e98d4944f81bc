#include "live/pace.hpp"

#include "support/catch.hpp"

using hushmill::live::Pace;
using std::chrono::milliseconds;

TEST_CASE("a pace lets samples through as fast as the time passes, with no drift however it is asked") {
  const Pace::Time start{};
  Pace pace(44100, start);
  CHECK(pace.due(start) == 0);
  std::uint64_t taken = 0;
  for (int ms = 0; ms <= 60'000; ms += 7) {
    const std::size_t due = pace.due(start + milliseconds(ms));
    pace.took(due);
    taken += due;
  }
  // 60 s less the last 3 ms, to the sample.
  CHECK(taken == static_cast<std::uint64_t>(44100 * 59.997));
}

TEST_CASE("what was due and not taken stays due") {
  const Pace::Time start{};
  Pace pace(48000, start);
  CHECK(pace.due(start + milliseconds(100)) == 4800);
  pace.took(800);
  CHECK(pace.due(start + milliseconds(100)) == 4000);
  CHECK(pace.due(start + milliseconds(150)) == 6400);
}

TEST_CASE("after a stall the missing time is let go of") {
  const Pace::Time start{};
  Pace pace(48000, start);
  CHECK(pace.due(start + std::chrono::hours(8)) == 24000);
  pace.took(24000);
  CHECK(pace.due(start + std::chrono::hours(8)) == 0);
  CHECK(pace.due(start + std::chrono::hours(8) + milliseconds(10)) == 480);
}

TEST_CASE("a time before the start makes nothing due") {
  const Pace::Time start{std::chrono::seconds(5)};
  Pace pace(48000, start);
  CHECK(pace.due(start - milliseconds(20)) == 0);
}
