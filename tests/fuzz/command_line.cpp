#include <CLI/CLI.hpp>

#include "app/commands.hpp"
#include "app/usage_line.hpp"
#include "fuzz/food.hpp"
#include "fuzz/promise.hpp"

namespace hushmill::fuzz {

void command_line(Input input) {
  constexpr std::size_t kMostWords = 40;
  std::vector<std::string> words;
  Food food(input);
  while (!food.empty() && words.size() < kMostWords) {
    auto word = food.line();
    words.push_back(word.substr(0, word.find('\0')));  // as the system hands it over
  }
  CLI::App app;
  std::function<int()> run;
  const auto dashboard = app::make_command_line(app, run);
  std::vector<const char*> arguments{"hushmill"};
  for (const auto& word : words) arguments.push_back(word.c_str());
  try {
    app.parse(static_cast<int>(arguments.size()), arguments.data());
  } catch (const CLI::Success&) {
    static_cast<void>(app.help());
  } catch (const CLI::ParseError& error) {
    promise_one_line(app::usage_line(app, error, words));
  }
}

}  // namespace hushmill::fuzz
