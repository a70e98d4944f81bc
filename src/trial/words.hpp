// Trials in plain words, the same on the terminal, in the report and on the screen. Pure. "Cleared" is said nowhere: a
// speed is quiet so far, and once it was quiet for long enough it has held.
#pragma once

#include <string>

#include "trial/speed_table.hpp"
#include "trial/trial.hpp"

namespace hushmill::trial {

/// "held", "came back", "chattered", "not enough cut".
std::string short_word(Outcome outcome);
/// What became of a trial, or what it looks like so far: "held: no chatter in 7.0 s of cut", "quiet so far, 2 s".
std::string sentence(const Trial& trial);
/// "quiet so far, 4 s"; with what is still wanted: "; 3 s and a marked lap or pass are wanted".
std::string quiet_so_far(const Trial& trial);
/// What a period of returns means and what to do; empty without laps.
std::string lap_words(const Trial& trial);
/// "tone -8 dB to -45 dB (-37), with its family (the tones that go with it) …"; empty when there is nothing to compare.
std::string comparison_words(const Trial& trial);
/// What the table comes to in one line.
std::string table_words(const SpeedTable& table);

}  // namespace hushmill::trial
