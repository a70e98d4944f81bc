#include "app/install/completions.hpp"

#include <string_view>

namespace hushmill::app {
namespace {

std::string joined(const std::vector<std::string>& words, const char* between) {
  std::string text;
  for (const auto& word : words) text += (text.empty() ? "" : between) + word;
  return text;
}

// In single quotes; for bash and fish alike where the text has no backslash.
std::string single_quoted(const std::string& text) {
  std::string shell = "'";
  for (const char c : text) shell += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return shell + "'";
}

// What follows a word, as the bash function is told.
std::string bash_kind(const OptionEntry& option) {
  switch (option.kind) {
    case ValueKind::none: return {};
    case ValueKind::text: return "nothing";
    case ValueKind::file: return "file";
    case ValueKind::folder: return "folder";
    case ValueKind::choice: return joined(option.choices, " ");
  }
  return {};
}

constexpr std::string_view kBashHead = R"(# bash completion for hushmill, made from the program's own options.

# Sets for the command in $1: what is below it, its options, and what stands after a word without a dash.
_hushmill_command() {
  case $1 in
)";

constexpr std::string_view kBashValues = R"(  esac
}

# Sets what stands after option $2 of command $1; empty after a flag.
_hushmill_value() {
  value=
  case "$1 $2" in
)";

constexpr std::string_view kBashTail = R"(  esac
}

_hushmill() {
  local word=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]}
  local command= below options bare value i
  if [[ $word == = ]]; then
    word=
  elif [[ $last == = ]] && ((COMP_CWORD > 1)); then  # bash parts --source=rig into three words
    last=${COMP_WORDS[COMP_CWORD-2]}
  fi
  _hushmill_command ''
  for ((i = 1; i < COMP_CWORD; ++i)); do
    case ${COMP_WORDS[i]} in
      -*)
        _hushmill_value "$command" "${COMP_WORDS[i]}"
        [[ -z $value ]] || ((++i))
        ;;
      *)
        if [[ " $below " == *" ${COMP_WORDS[i]} "* ]]; then
          command=${command:+$command }${COMP_WORDS[i]}
          _hushmill_command "$command"
        fi
        ;;
    esac
  done
  value=
  [[ $last != -* ]] || _hushmill_value "$command" "$last"
  if [[ -z $value && $word == -* ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$options" -- "$word")
    return
  fi
  [[ -n $value ]] || value=${below:-$bare}
  case $value in
    nothing) COMPREPLY=() ;;
    file)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -f -- "$word")
      ;;
    folder)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -d -- "$word")
      ;;
    *) mapfile -t COMPREPLY < <(compgen -W "$value" -- "$word") ;;
  esac
}
complete -F _hushmill hushmill
)";

// True when the command line so far is inside `command`, for fish.
std::string fish_inside(const CommandEntry& command, const std::vector<CommandEntry>& table) {
  if (command.name.empty()) return single_quoted("not __fish_seen_subcommand_from " + joined(table.front().below, " "));
  const auto space = command.name.find(' ');
  std::string test = "__fish_seen_subcommand_from " + command.name.substr(0, space);
  if (space != std::string::npos) test += "; and __fish_seen_subcommand_from " + command.name.substr(space + 1);
  else if (!command.below.empty()) test += "; and not __fish_seen_subcommand_from " + joined(command.below, " ");
  return single_quoted(test);
}

}  // namespace

std::string bash_completion(const std::vector<CommandEntry>& table) {
  std::string commands, values;
  for (const auto& command : table) {
    std::string names;
    for (const auto& option : command.options) {
      const auto all = joined(option.names, " ");
      names += (names.empty() ? "" : " ") + all;
      if (option.kind == ValueKind::none) continue;
      for (const auto& name : option.names) values += "    " + single_quoted(command.name + " " + name) + ") value=" + single_quoted(bash_kind(option)) + " ;;\n";
    }
    const std::string bare = command.positionals.empty() ? std::string("nothing") : bash_kind(command.positionals.front());
    commands += "    " + single_quoted(command.name) + ")\n      below=" + single_quoted(joined(command.below, " ")) + "\n      options=" + single_quoted(names) + "\n      bare=" + single_quoted(bare) + "\n      ;;\n";
  }
  return std::string(kBashHead) + commands + std::string(kBashValues) + values + std::string(kBashTail);
}

std::string fish_completion(const std::vector<CommandEntry>& table) {
  std::string lines = "# fish completion for hushmill, made from the program's own options.\ncomplete -c hushmill -f\n";
  for (const auto& command : table) {
    const auto inside = "complete -c hushmill -n " + fish_inside(command, table);
    for (const auto& below : command.below) {
      const auto name = command.name.empty() ? below : command.name + " " + below;
      for (const auto& other : table)
        if (other.name == name) lines += inside + " -a " + single_quoted(below) + " -d " + single_quoted(other.text) + "\n";
    }
    for (const auto& positional : command.positionals) {
      if (positional.kind == ValueKind::file) lines += inside + " -F\n";
      if (positional.kind == ValueKind::choice) lines += inside + " -a " + single_quoted(joined(positional.choices, " ")) + "\n";
    }
    for (const auto& option : command.options) {
      lines += inside;
      for (const auto& name : option.names) lines += name.rfind("--", 0) == 0 ? " -l " + name.substr(2) : " -s " + name.substr(1);
      if (option.kind == ValueKind::file) lines += " -r -F";
      if (option.kind == ValueKind::folder) lines += " -x -a '(__fish_complete_directories)'";
      if (option.kind == ValueKind::choice) lines += " -x -a " + single_quoted(joined(option.choices, " "));
      if (option.kind == ValueKind::text) lines += " -x";
      lines += " -d " + single_quoted(option.text) + "\n";
    }
  }
  return lines;
}

}  // namespace hushmill::app
