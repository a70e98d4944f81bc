// The commands and options of the program as plain values, read off the command line library's own tables, so that manual page
// and completions say what the program knows and nothing else.
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace hushmill::app {

/// What stands after an option, or a word without one.
enum class ValueKind { none, text, file, folder, choice };

struct OptionEntry {
  std::vector<std::string> names{};    ///< with their dashes, "-h", "--help"; of a positional its bare name
  std::string value{};                 ///< what stands for the value in the help, as "RPM"; empty for a flag
  std::string text{};                  ///< what the help says
  std::string preset{};                ///< default value, empty if the help says none
  std::string group{};                 ///< heading, empty for the command's plain options
  std::vector<std::string> choices{};  ///< the words that the value can be, for ValueKind::choice
  ValueKind kind = ValueKind::none;
  bool required = false;
};

struct CommandEntry {
  std::string name{};    ///< words from the first command on, "journal list"; empty for the program itself
  std::string text{};    ///< what it does
  std::string footer{};  ///< examples, several lines
  std::vector<OptionEntry> options{}, positionals{};
  std::vector<std::string> below{};  ///< names of the commands right below it, one word each
};

/// The program itself first, then every command before those below it. Options that the help hides are left out.
/// Throws std::logic_error when a choice that is offered does not stand in the option's own help.
std::vector<CommandEntry> command_table(const CLI::App& app);

}  // namespace hushmill::app
