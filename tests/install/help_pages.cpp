#include "install/help_pages.hpp"

#include <sstream>
#include <stdexcept>

#include "support/program_run.hpp"

namespace hushmill::test {
namespace {

void collect(const std::string& program, const std::vector<std::string>& command, std::vector<HelpPage>& pages) {
  std::vector<std::string> words{program};
  words.insert(words.end(), command.begin(), command.end());
  words.emplace_back("--help");
  const auto run = run_program(words, {}, std::chrono::seconds(60));
  if (run.code != 0) throw std::runtime_error("no help of " + program + ": " + run.err);
  auto page = read_help(run.out);
  page.command = command;
  pages.push_back(page);
  for (const auto& below : page.below) {
    auto deeper = command;
    deeper.push_back(below);
    collect(program, deeper, pages);
  }
}

}  // namespace

std::string HelpPage::name() const {
  std::string text;
  for (const auto& word : command) text += (text.empty() ? "" : " ") + word;
  return text;
}

HelpPage read_help(const std::string& text) {
  HelpPage page;
  bool commands = false;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind("Subcommands:", 0) == 0 || line.rfind("SUBCOMMANDS:", 0) == 0) {
      commands = true;
      continue;
    }
    if (line.rfind("  ", 0) != 0 || line.size() < 3 || line[2] == ' ') {
      if (!line.empty() && line[0] != ' ') commands = false;
      continue;
    }
    std::string head;
    std::istringstream(line) >> head;
    if (commands) {
      page.below.insert(head);
    } else if (head[0] == '-') {
      std::istringstream names(head);
      for (std::string name; std::getline(names, name, ',');)
        if (!name.empty()) page.options.insert(name);
    }
  }
  return page;
}

std::vector<HelpPage> help_pages(const std::string& program) {
  std::vector<HelpPage> pages;
  collect(program, {}, pages);
  return pages;
}

}  // namespace hushmill::test
