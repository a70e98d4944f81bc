// The guided microphone check as a card: its steps, how each stands, and the result. Pure; the check itself is the
// engine's (listen/microphone_check.hpp), the same that the command `hushmill microphone` runs.
#pragma once

#include <string>
#include <vector>

#include "dashboard/microphone_view.hpp"
#include "dashboard/tone.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

struct CheckStep {
  std::string words;   ///< what the person does
  std::string status;  ///< "2 of 3", "−54 dB"; empty before its turn
  bool now = false;
  bool done = false;
};

struct CheckView {
  double level = 0;  ///< 0 to 1 of the bar, −60 dBFS to 0
  std::vector<CheckStep> steps;
  std::string result;            ///< "PASS", "FAULT", "UNFINISHED"; empty while it goes on
  Tone result_tone = Tone::neutral;
  std::vector<StripLine> lines;  ///< what is wrong and what to do, or what the result is worth
};

CheckView prepare_check(const live::State& state);

}  // namespace hushmill::dashboard
