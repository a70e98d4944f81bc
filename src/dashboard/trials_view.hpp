// The trials in words for the panel beside the last seconds: what the running one still wants, how the earlier ones
// ended, which speed held. Pure.
#pragma once

#include <optional>
#include <vector>

#include "dashboard/words.hpp"
#include "live/state.hpp"
#include "trial/speed_table.hpp"

namespace hushmill::dashboard {

struct TrialRow {
  trial::Outcome outcome = trial::Outcome::not_enough;
  bool believed = true;
  Words speed;  ///< "5 400"
  Words words;  ///< "held, 7.0 s of cut", "came back after 1.6 s", "came back every 2.1 s"
};

struct TrialsView {
  TrialRow now;          ///< the running trial
  bool running = false;  ///< there is one
  Words wanted;    ///< what it still wants; empty when nothing
  Words marks;     ///< laps marked and the place that is cut
  Words offer;     ///< the sound says another speed, and the key that takes it; empty when it does not
  Few<TrialRow, 16> earlier;  ///< of this set-up, newest first; no panel has room for more
  Words best;               ///< the highest speed that held; empty while there are no trials to compare
};

/// `speeds`: the table of the state's trials.
TrialsView prepare_trials(const live::State& state, const trial::SpeedTable& speeds);
inline TrialsView prepare_trials(const live::State& state) { return prepare_trials(state, trial::speed_table(state.trials)); }

}  // namespace hushmill::dashboard
