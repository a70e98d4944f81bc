// A trial as the journal keeps it: a stretch of constant entered speed and how it ended. Plain values.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "listen/findings.hpp"

namespace hushmill::live {

struct TrialKept {
  double from_s = 0, to_s = 0, spindle_rpm = 0;
  std::string outcome{};  ///< "held", "returned", "chattered", "not_enough"
  std::optional<double> quiet_s{}, chatter_hz{}, before_dbfs{}, after_dbfs{};
  std::string text{};
};

/// One for each stretch of speed in which the tool cut.
std::vector<TrialKept> trials_kept(const listen::Findings& findings);

}  // namespace hushmill::live
