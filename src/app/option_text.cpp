#include "app/option_text.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdio>

namespace hushmill::app {

namespace {
constexpr double kHighestHz = 96000;

std::optional<double> number_within(std::string_view text, double low, double high) {
  double value = 0;
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  if (text.empty() || read.ec != std::errc{} || read.ptr != end || !std::isfinite(value) || value < low || value > high) return std::nullopt;
  return value;
}

[[noreturn]] void refuse(std::string_view option, std::string_view text, const std::string& right) {
  std::string shown(text.substr(0, 60));
  for (char& c : shown)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  throw UsageError(std::string(option) + " is '" + shown + "'; " + right + " would be right");
}
}  // namespace

std::string plain(double value) {
  char text[40];
  std::snprintf(text, sizeof text, "%.10g", value);
  return text;
}

double parse_number(std::string_view option, std::string_view text, double low, double high) {
  const auto value = number_within(text, low, high);
  if (!value) refuse(option, text, "a number from " + plain(low) + " to " + plain(high));
  return *value;
}

int parse_whole(std::string_view option, std::string_view text, int low, int high) {
  int value = 0;
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  if (text.empty() || read.ec != std::errc{} || read.ptr != end || value < low || value > high)
    refuse(option, text, "a whole number from " + std::to_string(low) + " to " + std::to_string(high));
  return value;
}

TimedValue parse_timed(std::string_view option, std::string_view text, double low, double high) {
  constexpr double kLongestS = 1e7;
  const auto colon = std::min(text.find(':'), text.size());
  const auto at_s = number_within(text.substr(0, colon), 0, kLongestS);
  const auto value = number_within(text.substr(std::min(colon + 1, text.size())), low, high);
  if (!at_s || !value)
    refuse(option, text, "seconds and a value from " + plain(low) + " to " + plain(high) + " with a colon between, as 5.2:" + plain(std::clamp(high >= 5400 ? 5400.0 : 2.0, low, high)) + ",");
  return {*at_s, *value};
}

std::vector<double> parse_list(std::string_view option, std::string_view text, double low, double high) {
  std::vector<double> list;
  for (std::size_t from = 0; from <= text.size();) {
    const auto comma = std::min(text.find(',', from), text.size());
    const auto value = number_within(text.substr(from, comma - from), low, high);
    if (!value) refuse(option, text, "numbers from " + plain(low) + " to " + plain(high) + " with commas between");
    list.push_back(*value);
    from = comma + 1;
  }
  return list;
}

Range parse_range(std::string_view option, std::string_view text, double low, double high) {
  const auto colon = std::min(text.find(':'), text.size());
  const auto from = number_within(text.substr(0, colon), low, high);
  const auto to = number_within(text.substr(std::min(colon + 1, text.size())), low, high);
  if (!from || !to) refuse(option, text, "the lower and the upper end, from " + plain(low) + " to " + plain(high) + ", with a colon between, as 50:120,");
  if (*from > *to) refuse(option, text, "the lower end first, " + plain(*to) + ":" + plain(*from) + ",");
  return {*from, *to};
}

advise::Trial parse_trial(std::string_view option, std::string_view text) {
  constexpr const char* kRight = "RPM:held, RPM:chattered@HZ or RPM:returned@HZ (the frequency may be left out)";
  const auto colon = text.find(':');
  if (colon == std::string_view::npos || colon == 0) refuse(option, text, kRight);
  advise::Trial trial;
  trial.spindle_rpm = parse_number(option, text.substr(0, colon), kLowestRpm, kHighestRpm);
  auto rest = text.substr(colon + 1);
  const auto at = rest.find('@');
  if (at != std::string_view::npos && at + 1 == rest.size()) refuse(option, text, kRight);
  if (at != std::string_view::npos) trial.chatter_hz = parse_number(option, rest.substr(at + 1), 1, kHighestHz);
  rest = rest.substr(0, at);
  if (rest == "held")
    trial.outcome = advise::Outcome::held;
  else if (rest == "chattered")
    trial.outcome = advise::Outcome::chattered;
  else if (rest == "returned")
    trial.outcome = advise::Outcome::returned;
  else
    refuse(option, text, kRight);
  if (trial.outcome == advise::Outcome::held && trial.chatter_hz) refuse(option, text, "no frequency with held: nothing sang there; RPM:held");
  return trial;
}

}  // namespace hushmill::app
