// A speed that no limit allows is never to be kept, however quiet it is: the same words in every report.
#pragma once

#include <optional>
#include <string>

namespace hushmill::app {

/// "S8840 is above the limit of 8000 rev/min: slow down, whatever was heard."; empty for a speed within them. `max_rpm`: the lowest of
/// spindle, tool and holder.
std::string beyond_limit(double spindle_rpm, const std::optional<double>& min_rpm, const std::optional<double>& max_rpm);

/// The lower of two limits that may not have been given.
std::optional<double> lower_of(const std::optional<double>& a_rpm, const std::optional<double>& b_rpm);

}  // namespace hushmill::app
