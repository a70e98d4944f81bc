// The manual page hushmill(1): a text by hand with the program's own options put in.
#pragma once

#include <string>
#include <vector>

#include "app/install/command_table.hpp"

namespace hushmill::app {

/// `text`: the page in man(7), with a line "@OPTIONS@" for the options of the program itself, "@COMMANDS@" for all commands
/// and "@VERSION@" anywhere. Throws std::logic_error when one of the lines is missing.
std::string manual_page(const std::string& text, const std::vector<CommandEntry>& table, const std::string& version);

}  // namespace hushmill::app
