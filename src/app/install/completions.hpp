// What the shells complete: commands, options, and the words and files that stand after them.
#pragma once

#include <string>
#include <vector>

#include "app/install/command_table.hpp"

namespace hushmill::app {

/// A function for bash.
std::string bash_completion(const std::vector<CommandEntry>& table);
/// One `complete` line for each command and option, for fish.
std::string fish_completion(const std::vector<CommandEntry>& table);

}  // namespace hushmill::app
