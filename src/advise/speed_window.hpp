// The speeds that may be advised, and which limit closes each end.
#pragma once

#include <string_view>

#include "advise/advice.hpp"

namespace hushmill::advise {

/// Both ends may be advised. `low_by` and `high_by` name the limit in words for a person; empty when no limit was
/// given.
struct SpeedWindow {
  double low_rpm = 0;
  double high_rpm = 0;
  std::string_view low_by;
  std::string_view high_by;

  bool holds(double spindle_rpm) const noexcept { return spindle_rpm >= low_rpm && spindle_rpm <= high_rpm; }
};

/// The strictest of the limits given. The window may be empty (low above high) when surface-speed limits contradict
/// others.
SpeedWindow speed_window(const Question& question) noexcept;

}  // namespace hushmill::advise
