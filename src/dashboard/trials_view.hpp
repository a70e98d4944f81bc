// The trials in words for the panel beside the last seconds: what the running one still wants, how the earlier ones
// ended, which speed held. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "live/state.hpp"

namespace hushmill::dashboard {

struct TrialRow {
  trial::Outcome outcome = trial::Outcome::not_enough;
  bool believed = true;
  std::string speed;  ///< "5 400"
  std::string words;  ///< "held, 7.0 s of cut", "came back after 1.6 s", "came back every 2.1 s"
};

struct TrialsView {
  TrialRow now;          ///< the running trial
  bool running = false;  ///< there is one
  std::string wanted;    ///< what it still wants; empty when nothing
  std::string marks;     ///< laps marked and the place that is cut
  std::string offer;     ///< the sound says another speed, and the key that takes it; empty when it does not
  std::vector<TrialRow> earlier;  ///< of this set-up, newest first
  std::string best;               ///< the highest speed that held; empty while there are no trials to compare
};

TrialsView prepare_trials(const live::State& state);

}  // namespace hushmill::dashboard
