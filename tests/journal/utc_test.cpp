#include "journal/utc.hpp"

#include <ctime>

#include "support/catch.hpp"

using namespace hushmill::journal;

TEST_CASE("a moment goes into text and back, and shows the shop's own time") {
  // POSIX.1-2017, 4.16, counts seconds since the epoch; 1 700 000 000 is 2023-11-14 22:13:20 UTC (computed by date(1)).
  const Moment moment = Moment{} + std::chrono::milliseconds(1'700'000'000'250);
  CHECK(utc_text(moment) == "2023-11-14T22:13:20.250Z");
  CHECK(utc_for_a_name(moment) == "20231114T221320Z");
  CHECK(moment_of("2023-11-14T22:13:20.250Z") == moment);
  CHECK(local_text("2023-11-14T22:13:20.250Z", 120) == "2023-11-15 00:13:20 +02:00");
  CHECK(local_text("2023-11-14T22:13:20.250Z", -570) == "2023-11-14 12:43:20 -09:30");
  CHECK(moment_of("yesterday") == Moment{});
  CHECK(moment_of("2023-02-31T00:00:00.000Z") == Moment{});
  CHECK(local_text("yesterday", 60) == "yesterday");
  // What a moment cannot count, or no place on earth is off by, is shown as it stands.
  CHECK(moment_of("9999-12-31T23:59:59.999Z") == Moment{});
  for (const char* no_time : {"2023-11-14T24:00:00.000Z", "2200-12-31T26:59:00.250Z", "2023-11-14T22:60:00.000Z", "2023-11-14T22:13:60.000Z", "2023-11-14T-1:13:20.000Z", "2023-11-14T22:13:20.-50Z"})
    CHECK(moment_of(no_time) == Moment{});
  CHECK(local_text("0000-01-01T00:00:00.000Z", 60) == "0000-01-01T00:00:00.000Z");
  CHECK(local_text("2023-11-14T22:13:20.250Z", 2'000'000'000) == "2023-11-14T22:13:20.250Z");
}

TEST_CASE("the offset is what the system's own clock says") {
  const Moment now = std::chrono::system_clock::now();
  const std::time_t seconds = std::chrono::system_clock::to_time_t(now);
  std::tm local = *std::localtime(&seconds);
  std::tm utc = *std::gmtime(&seconds);
  utc.tm_isdst = local.tm_isdst;
  CHECK(utc_offset_min(now) == static_cast<int>(std::difftime(std::mktime(&local), std::mktime(&utc)) / 60));
}
