#include "journal/utc.hpp"

#include <cstdio>
#include <cstdlib>
#include <ctime>

#include "platform/platform.hpp"

namespace hushmill::journal {
namespace {

using std::chrono::milliseconds;

struct Fields {
  int year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0, ms = 0;
};

Fields fields_of(Moment moment) {
  const auto day = std::chrono::floor<std::chrono::days>(moment);
  const std::chrono::year_month_day date(day);
  const std::chrono::hh_mm_ss<milliseconds> time(std::chrono::floor<milliseconds>(moment - day));
  return {static_cast<int>(date.year()),
          static_cast<int>(static_cast<unsigned>(date.month())),
          static_cast<int>(static_cast<unsigned>(date.day())),
          static_cast<int>(time.hours().count()),
          static_cast<int>(time.minutes().count()),
          static_cast<int>(time.seconds().count()),
          static_cast<int>(time.subseconds().count())};
}

}  // namespace

std::string utc_text(Moment moment) {
  const Fields f = fields_of(moment);
  char buffer[96];
  std::snprintf(buffer, sizeof buffer, "%04d-%02d-%02dT%02d:%02d:%02d.%03dZ", f.year, f.month, f.day, f.hour, f.minute,
                f.second, f.ms);
  return buffer;
}

std::string utc_for_a_name(Moment moment) {
  const Fields f = fields_of(moment);
  char buffer[96];
  std::snprintf(buffer, sizeof buffer, "%04d%02d%02dT%02d%02d%02dZ", f.year, f.month, f.day, f.hour, f.minute, f.second);
  return buffer;
}

int utc_offset_min(Moment moment) {
  const auto local = platform::local_time(std::chrono::system_clock::to_time_t(moment));
  char offset[8] = "";
  if (!local || std::strftime(offset, sizeof offset, "%z", &*local) != 5) return 0;
  const int whole = std::atoi(offset);  // +0530
  return whole / 100 * 60 + whole % 100;
}

Moment moment_of(const std::string& utc) {
  Fields f;
  if (std::sscanf(utc.c_str(), "%4d-%2d-%2dT%2d:%2d:%2d.%3dZ", &f.year, &f.month, &f.day, &f.hour, &f.minute, &f.second,
                  &f.ms) < 6) {
    return {};
  }
  const std::chrono::year_month_day date(std::chrono::year(f.year), std::chrono::month(static_cast<unsigned>(f.month)),
                                         std::chrono::day(static_cast<unsigned>(f.day)));
  const auto within = [](int value, int most) { return value >= 0 && value <= most; };
  // A moment counts nanoseconds, which end in 2262.
  if (!date.ok() || f.year < 1970 || f.year > 2200) return {};
  if (!within(f.hour, 23) || !within(f.minute, 59) || !within(f.second, 59) || !within(f.ms, 999)) return {};
  return std::chrono::sys_days(date) + std::chrono::hours(f.hour) + std::chrono::minutes(f.minute) +
         std::chrono::seconds(f.second) + milliseconds(f.ms);
}

std::string local_text(const std::string& utc, int offset_min) {
  const Moment moment = moment_of(utc);
  constexpr int kMostOffsetMin = 24 * 60;
  if (moment == Moment{} || offset_min < -kMostOffsetMin || offset_min > kMostOffsetMin) return utc;
  const Fields f = fields_of(moment + std::chrono::minutes(offset_min));
  const int size = std::abs(offset_min);
  char buffer[128];
  std::snprintf(buffer, sizeof buffer, "%04d-%02d-%02d %02d:%02d:%02d %c%02d:%02d", f.year, f.month, f.day, f.hour, f.minute,
                f.second, offset_min < 0 ? '-' : '+', size / 60, size % 60);
  return buffer;
}

}  // namespace hushmill::journal
