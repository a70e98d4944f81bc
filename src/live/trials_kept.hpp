// A trial as the journal keeps it: a stretch of constant entered speed and how it ended. Plain values.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "trial/trial.hpp"

namespace hushmill::live {

struct TrialKept {
  int number = 0;  ///< in the session, counted from 1 with those in which nothing was cut; 0: it has none
  double from_s = 0, to_s = 0, spindle_rpm = 0;
  std::string outcome{};  ///< "held", "returned", "chattered", "not_enough"
  std::optional<double> quiet_s{}, chatter_hz{};
  std::optional<double> before_dbfs{}, after_dbfs{};  ///< the chatter tone in the trial before and in this one
  std::string text{};
  bool operator==(const TrialKept&) const = default;
};

/// One for each trial in which the tool cut.
std::vector<TrialKept> trials_kept(std::span<const trial::Trial> trials);

}  // namespace hushmill::live
