#include "app/beyond_limit.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace hushmill::app {

namespace {
constexpr double kRounding = 1e-4;  // relative: a speed at the limit is not beyond it
}

std::string beyond_limit(double spindle_rpm, const std::optional<double>& min_rpm, const std::optional<double>& max_rpm) {
  if (max_rpm && spindle_rpm > *max_rpm * (1 + kRounding))
    return fmt::format("S{:.0f} is above the limit of {:.0f} rev/min: slow down, whatever was heard.", spindle_rpm, *max_rpm);
  if (min_rpm && spindle_rpm < *min_rpm * (1 - kRounding))
    return fmt::format("S{:.0f} is below the least speed of {:.0f} rev/min: go faster, whatever was heard.", spindle_rpm, *min_rpm);
  return {};
}

std::optional<double> lower_of(const std::optional<double>& a_rpm, const std::optional<double>& b_rpm) {
  return a_rpm && b_rpm ? std::min(a_rpm, b_rpm) : a_rpm ? a_rpm : b_rpm;
}

}  // namespace hushmill::app
