#include "app/usage_line.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cctype>
#include <cstddef>
#include <string_view>

namespace hushmill::app {

namespace {
// Letters changed, left out, added, or two neighbours swapped (F.J. Damerau, Comm. ACM 7 (1964) 171-176, each place once).
std::size_t slips(const std::string& a, const std::string& b) {
  std::vector<std::vector<std::size_t>> cost(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) cost[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) cost[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = cost[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0U : 1U);
      cost[i][j] = std::min({cost[i - 1][j] + 1, cost[i][j - 1] + 1, changed});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) cost[i][j] = std::min(cost[i][j], cost[i - 2][j - 2] + 1);
    }
  }
  return cost[a.size()][b.size()];
}

// The word as it can be shown in one line.
std::string shown(std::string word) {
  word.resize(std::min<std::size_t>(word.size(), 60));
  for (char& c : word)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = '?';
  return "'" + word + "'";
}

std::string one_of_its_commands(const CLI::App& app) {
  std::vector<std::string> known;
  for (const auto* sub : app.get_subcommands({})) known.push_back(sub->get_name());
  return listed(known) + " would be right";
}

// How the option is given: "--rpm RPM"; of what stands there without a name what it is: "its number".
std::string how_given(const CLI::App& command, const std::string& name) {
  const auto* option = command.get_option_no_throw(name);
  if (option == nullptr) return "";
  if (name.rfind('-', 0) == 0) return "; " + name + " " + option->get_type_name() + " would be right";
  std::string what = option->get_description();
  if (what.size() > 1 && std::islower(static_cast<unsigned char>(what[1]))) what[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(what[0])));
  return "; " + what + " would be right";
}

// What the library says of a missing option or value, in our words.
std::string plain_words(const CLI::ParseError& error, const CLI::App& command) {
  std::string text = error.what();
  const auto cut = [&](const std::string& tail) {
    const auto at = text.find(tail);
    return at == std::string::npos ? std::string() : text.substr(0, at);
  };
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr)
    if (const auto name = cut(" is required"); !name.empty()) return name == "A subcommand" ? "a command is missing; " + one_of_its_commands(command) : name + " is missing" + how_given(command, name);
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr)
    if (const auto name = cut(": "); !name.empty() && text.find("required") != std::string::npos)
      return text.find("At Most") != std::string::npos ? name + " is given twice; once would be right" : name + " has no value" + how_given(command, name);
  if (dynamic_cast<const CLI::ExcludesError*>(&error) != nullptr)
    if (const auto name = cut(" excludes "); !name.empty())
      return name + " and " + text.substr(name.size() + std::string_view(" excludes ").size()) + " are both given; one of them would be right";
  return text;
}

// " FILE": the words that the command takes without a name before them.
std::string words_taken(const CLI::App& command) {
  std::string words;
  for (const auto* option : command.get_options())
    if (option->get_positional() && !option->get_group().empty()) words += " " + option->get_type_name();
  return words.empty() ? " with its options" : words;
}

std::string leftover_line(const CLI::App& app, const CLI::App& command, const std::string& called, const std::string& word) {
  std::vector<std::string> known;
  if (word.rfind('-', 0) == 0) {
    for (const auto* option : command.get_options()) known.push_back(option->get_name());
    const auto nearest = nearest_word(word.substr(0, word.find('=')), known);
    return shown(word) + " is no option of " + called + (nearest.empty() ? "" : "; " + nearest + " would be right");
  }
  for (const auto* sub : command.get_subcommands({})) known.push_back(sub->get_name());
  if (known.empty()) return shown(word) + " is one word too many for " + called + "; " + called + words_taken(command) + " would be right";
  const auto nearest = nearest_word(word, known);
  return shown(word) + " is no command" + (&command == &app ? "" : " of " + called) + "; " + (nearest.empty() ? one_of_its_commands(command) : nearest + " would be right");
}

// "journal show": the command that did not know the word, or without one the innermost, which lacks something.
const CLI::App& command_at_fault(const CLI::App& app, const std::string& word, std::string& called) {
  const auto own = app.remaining(false);
  if (!word.empty() && std::find(own.begin(), own.end(), word) != own.end()) return app;
  for (const auto* chosen : app.get_subcommands()) {
    called += " " + chosen->get_name();
    return command_at_fault(*chosen, word, called);
  }
  return app;
}
}  // namespace

std::string listed(const std::vector<std::string>& words) {
  std::string list;
  for (std::size_t i = 0; i < words.size(); ++i) list += (i == 0 ? "" : i + 1 == words.size() ? " or " : ", ") + words[i];
  return list;
}

std::string nearest_word(const std::string& word, const std::vector<std::string>& candidates) {
  std::string best;
  std::size_t least = std::max<std::size_t>(word.size() / 3, 1) + 1;
  for (const auto& candidate : candidates) {
    const auto needed = slips(word, candidate);
    if (needed >= least) continue;
    least = needed;
    best = candidate;
  }
  return best;
}

std::string usage_line(const CLI::App& app, const CLI::ParseError& error, const std::vector<std::string>& words) {
  // A slip of the pen in an option also leaves the right one missing: what was left over tells more.
  const auto has = [](const std::vector<std::string>& list, const std::string& word) { return std::find(list.begin(), list.end(), word) != list.end(); };
  const auto left = app.remaining(true);
  auto first = std::find_if(words.begin(), words.end(), [&](const auto& word) { return word.rfind('-', 0) == 0 && has(left, word); });
  if (first == words.end()) first = std::find_if(words.begin(), words.end(), [&](const auto& word) { return has(left, word); });
  std::string called = "hushmill";
  const auto* command = &command_at_fault(app, first == words.end() ? "" : *first, called);
  const bool wants_command = !command->get_subcommands({}).empty() && command->get_subcommands().empty();
  const bool leftover = first != words.end() && (first->rfind('-', 0) == 0 || wants_command || dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr);
  std::string text = leftover ? leftover_line(app, *command, called, *first) : plain_words(error, *command);
  if (const auto end = text.find('\n'); end != std::string::npos) text.resize(end);
  return text + "; see " + called + " --help";
}

}  // namespace hushmill::app
