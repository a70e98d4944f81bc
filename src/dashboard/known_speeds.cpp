#include "dashboard/known_speeds.hpp"

#include <cmath>

namespace hushmill::dashboard {

const trial::SpeedTable& KnownSpeeds::of(std::span<const trial::Trial> trials) {
  now_.clear();
  for (const trial::Trial& trial : trials) {
    now_.push_back({trial.spindle_rpm, trial.set_up, trial.believed(), -1, trial.outcome, 0});
    for (const trial::PlaceResult& part : trial.places)
      now_.push_back({trial.spindle_rpm, trial.set_up, trial.believed(), static_cast<int>(part.place), part.outcome,
                      std::isfinite(part.quiet_s) ? std::lround(10 * part.quiet_s) : 0});
  }
  if (now_ == known_) return table_;
  known_ = now_;
  table_ = trial::speed_table(trials);
  return table_;
}

}  // namespace hushmill::dashboard
