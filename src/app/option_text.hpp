// Reading numbers and small lists that a person typed. Every failure is one line: the value and what would be right.
#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "advise/advice.hpp"
#include "advise/check_question.hpp"
#include "text/outside_text.hpp"

namespace hushmill::app {

/// Bad usage or bad input: exit code 2, the text is the one line to print.
class UsageError : public std::invalid_argument {
 public:
  explicit UsageError(const std::string& line) : std::invalid_argument(text::plain_line(line)) {}
};

/// Spindle speeds that may be typed, rev/min.
using advise::kHighestRpm;
using advise::kLowestRpm;

/// A number within limits, both ends included. `option` is named in the error.
double parse_number(std::string_view option, std::string_view text, double low, double high);
int parse_whole(std::string_view option, std::string_view text, int low, int high);

/// "5.2:5400": from that time on, that value.
struct TimedValue {
  double at_s = 0;
  double value = 0;
};
TimedValue parse_timed(std::string_view option, std::string_view text, double low, double high);

/// "50:120": a range, both ends within limits and in order.
struct Range {
  double from = 0;
  double to = 0;
};
Range parse_range(std::string_view option, std::string_view text, double low, double high);

/// "70,110,70,110": numbers between commas, each within limits.
std::vector<double> parse_list(std::string_view option, std::string_view text, double low, double high);

/// "5400:held", "6000:chattered@1370", "6600:returned@1355".
advise::Trial parse_trial(std::string_view option, std::string_view text);

/// Numbers in English notation with as many digits as they need, for one-line messages.
std::string plain(double value);

}  // namespace hushmill::app
