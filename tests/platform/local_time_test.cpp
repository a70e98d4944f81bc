#include <ctime>

#include "platform/platform.hpp"
#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("the hour by the wall is the C library's, in memory of the caller's own") {
  const std::time_t winter = 1768471200, summer = 1784109600;  // 2026-01-15 and 2026-07-15, 10:00 UTC
  const auto first = platform::local_time(winter);
  const auto second = platform::local_time(summer);
  REQUIRE(first);
  REQUIRE(second);
  for (const auto& [seconds, told] : {std::pair{winter, *first}, std::pair{summer, *second}}) {
    const std::tm* const known = std::localtime(&seconds);  // the reference: one thread here
    REQUIRE(known != nullptr);
    CHECK(told.tm_hour == known->tm_hour);
    CHECK(told.tm_mday == known->tm_mday);
    CHECK(told.tm_mon == known->tm_mon);
    CHECK(told.tm_isdst == known->tm_isdst);
  }
}
