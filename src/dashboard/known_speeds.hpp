// The table of the speeds tried, made anew only when something in it may have changed: a trial, its speed, its outcome, or by a
// tenth of a second the quiet cut in a place that was tagged. Pure.
#pragma once

#include <span>
#include <vector>

#include "trial/speed_table.hpp"

namespace hushmill::dashboard {

class KnownSpeeds {
 public:
  /// Good until the next call.
  const trial::SpeedTable& of(std::span<const trial::Trial> trials);

 private:
  /// What the table is made of, in the order of the trials.
  struct Part {
    double spindle_rpm = 0;
    int set_up = 0;
    bool believed = true;
    int place = -1;  ///< -1: the trial as a whole
    trial::Outcome outcome = trial::Outcome::not_enough;
    long quiet_tenths = 0;
    bool operator==(const Part&) const = default;
  };
  std::vector<Part> known_, now_;
  trial::SpeedTable table_;
};

}  // namespace hushmill::dashboard
