// Trials as lines for the terminal.
#pragma once

#include <string>
#include <vector>

#include "trial/speed_table.hpp"
#include "trial/trial.hpp"

namespace hushmill::app {

/// One trial on one to three lines, with its number.
std::string to_text(const trial::Trial& trial);
/// All of them and, where it says more, the table of speeds against places.
std::string to_text(const std::vector<trial::Trial>& trials, const trial::SpeedTable& table);
/// What is left to be said when each trial was told of as it ended.
std::string speeds_text(const std::vector<trial::Trial>& trials, const trial::SpeedTable& table);

}  // namespace hushmill::app
