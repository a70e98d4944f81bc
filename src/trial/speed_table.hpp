// Which speed held where: speeds against the kinds of place that were tagged, and the highest speed that holds everywhere.
// Pure.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "trial/trial.hpp"

namespace hushmill::trial {

struct SpeedRow {
  double spindle_rpm = 0;
  Outcome outcome = Outcome::not_enough;  ///< the worst of the trials at this speed; held when one held and none chattered
  double quiet_s = 0;
  double chatter_hz = 0;                  ///< of the latest chatter at this speed; 0: none
  std::vector<PlaceResult> places;        ///< one for each of SpeedTable::places, in their order
};

struct SpeedTable {
  std::vector<Place> places;   ///< those that were tagged in any trial
  std::vector<SpeedRow> rows;  ///< highest speed first
  /// The highest speed that held, and held in every place that was tagged in any trial.
  std::optional<double> holds_everywhere_rpm;
};

/// Of the trials of the latest set-up, those that are believed. Speeds within half a percent are one.
SpeedTable speed_table(std::span<const Trial> trials);

}  // namespace hushmill::trial
