#include "app/install/manual_page.hpp"

#include <sstream>
#include <stdexcept>
#include <string_view>

namespace hushmill::app {
namespace {

// Text as roff shows it: backslashes and dashes as they are typed, no line taken for a request.
std::string roff(const std::string& plain) {
  std::string text;
  for (const char c : plain) {
    if ((c == '.' || c == '\'') && (text.empty() || text.back() == '\n')) text += "\\&";
    if (c == '\\')
      text += "\\e";
    else if (c == '-')
      text += "\\-";
    else if (c == '\'')
      text += "\\(aq";
    else
      text += c;
  }
  return text;
}

std::string bold(const std::string& plain) { return "\\fB" + roff(plain) + "\\fR"; }
std::string slanted(const std::string& plain) { return "\\fI" + roff(plain) + "\\fR"; }

std::string option_lines(const OptionEntry& option, bool positional) {
  std::string head;
  for (const auto& name : option.names) head += (head.empty() ? "" : ", ") + (positional ? slanted(name) : bold(name));
  if (!positional && !option.value.empty()) head += " " + slanted(option.value);
  std::string text = roff(option.text);
  if (!option.preset.empty()) text += (text.empty() ? "" : "; ") + ("default " + roff(option.preset));
  if (option.required) text += (text.empty() ? "" : "; ") + std::string("required");
  return ".TP\n" + head + "\n" + text + "\n";
}

// Options in the order of the help, each heading once. `heading`: how a group's name is set.
std::string options_of(const CommandEntry& command, const std::string& heading) {
  std::string page;
  for (const auto& positional : command.positionals) page += option_lines(positional, true);
  std::vector<std::string> groups{""};
  for (const auto& option : command.options)
    if (option.group != groups.back()) {
      bool known = false;
      for (const auto& group : groups) known = known || group == option.group;
      if (!known) groups.push_back(option.group);
    }
  for (const auto& group : groups) {
    if (!group.empty()) page += heading + roff(group) + "\n";
    for (const auto& option : command.options)
      if (option.group == group) page += option_lines(option, false);
  }
  return page;
}

std::string footer_of(const CommandEntry& command) {
  if (command.footer.empty()) return {};
  return ".PP\n.nf\n" + roff(command.footer) + "\n.fi\n";
}

std::string commands_of(const std::vector<CommandEntry>& table) {
  std::string page;
  for (const auto& command : table) {
    if (command.name.empty()) continue;
    page += ".SS hushmill " + roff(command.name);
    for (const auto& positional : command.positionals) page += positional.required ? " " + slanted(positional.names.front()) : " [" + slanted(positional.names.front()) + "]";
    page += (command.below.empty() ? " [\\fIoptions\\fR]\n" : " \\fIcommand\\fR\n") + roff(command.text) + ".\n";
    page += options_of(command, ".PP\n") + footer_of(command);
  }
  return page;
}

void put_in(std::string& line, std::string_view name, const std::string& value) {
  if (const auto at = line.find(name); at != std::string::npos) line.replace(at, name.size(), value);
}

}  // namespace

std::string manual_page(const std::string& text, const std::vector<CommandEntry>& table, const std::string& version) {
  std::string page;
  bool has_options = false, has_commands = false;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (line == "@OPTIONS@") {
      page += options_of(table.front(), ".SS ");
      has_options = true;
      continue;
    }
    if (line == "@COMMANDS@") {
      page += commands_of(table);
      has_commands = true;
      continue;
    }
    put_in(line, "@VERSION@", version);
    page += line + "\n";
  }
  if (!has_options || !has_commands) throw std::logic_error("the manual page has no place for options or commands");
  return page;
}

}  // namespace hushmill::app
