#include "app/install/command_table.hpp"

#include <CLI/CLI.hpp>
#include <array>
#include <stdexcept>
#include <string_view>

#include "journal/journal.hpp"

namespace hushmill::app {
namespace {

// Values that are one of a few words. The library does not know them (the program refuses others in its own words), so they
// stand here and are held against the help.
struct Choices {
  std::string_view command, option;  // an empty command: wherever the option is
  std::vector<std::string> words;
};
const std::array kChoices{
    Choices{"", "--channel", {"left", "right", "mix"}},
    Choices{"", "--milling", {"climb", "conventional"}},
    Choices{"", "--scene", {"bracket-wall", "tray-pocket", "tray-even", "rail-slot"}},
    Choices{"", "--record", {"wav", "flac"}},
    Choices{"", "--look", {"room", "bench", "teach"}},
    Choices{"", "--paper", {"a4", "letter"}},
    Choices{"", "--method", {"zero-order", "semi-discretization"}},
    Choices{"", "--for", {"tool", "part", "machine"}},
    Choices{"microphone", "--source", {"microphone"}},
    Choices{"tap", "--source", {"microphone"}},
    Choices{"", "--source", {"microphone", "recording", "rig"}},
    Choices{"lesson", "name", {"forks", "wavy-wall", "lobes", "lower-or-higher", "corner"}},
    Choices{"journal export", "table", journal::Journal::table_names()},
};

void add_kind(OptionEntry& option, const std::string& command) {
  if (option.value.empty()) return;
  option.kind = ValueKind::text;
  if (option.value == "FILE" || option.value == "TOML" || option.value == "SETUP.toml") option.kind = ValueKind::file;
  if (option.value == "FOLDER") option.kind = ValueKind::folder;
  for (const auto& choices : kChoices) {
    if (choices.option != option.names.back() || (!choices.command.empty() && choices.command != command)) continue;
    for (const auto& word : choices.words)
      if (option.text.find(word) == std::string::npos)
        throw std::logic_error("the help of " + option.names.back() + " of 'hushmill " + command + "' does not name '" + word + "'");
    option.choices = choices.words;
    option.kind = ValueKind::choice;
    return;
  }
}

OptionEntry entry_of(const CLI::Option& option, const std::string& plain_group, const std::string& command) {
  OptionEntry entry;
  if (option.nonpositional()) {
    for (const auto& name : option.get_snames()) entry.names.push_back("-" + name);
    for (const auto& name : option.get_lnames()) entry.names.push_back("--" + name);
  } else {
    entry.names.push_back(option.get_name(true));
  }
  if (option.get_type_size() != 0) entry.value = option.get_type_name();
  entry.text = option.get_description();
  entry.preset = option.get_default_str();
  if (option.get_group() != plain_group) entry.group = option.get_group();
  entry.required = option.get_required();
  add_kind(entry, command);
  return entry;
}

void add(const CLI::App& app, const std::string& name, std::vector<CommandEntry>& table) {
  CommandEntry entry;
  entry.name = name;
  entry.text = app.get_description();
  entry.footer = app.get_footer();
  const std::string plain_group = app.get_help_ptr()->get_group();
  for (const auto* option : app.get_options()) {
    if (option->get_group().empty()) continue;
    (option->nonpositional() ? entry.options : entry.positionals).push_back(entry_of(*option, plain_group, name));
  }
  const auto below = app.get_subcommands([](const CLI::App*) { return true; });
  for (const auto* command : below) entry.below.push_back(command->get_name());
  table.push_back(entry);
  for (const auto* command : below) add(*command, name.empty() ? command->get_name() : name + " " + command->get_name(), table);
}

}  // namespace

std::vector<CommandEntry> command_table(const CLI::App& app) {
  std::vector<CommandEntry> table;
  add(app, "", table);
  return table;
}

}  // namespace hushmill::app
