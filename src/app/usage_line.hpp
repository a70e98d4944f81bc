// What was wrong with a command line, in one line: the word, what is nearest to it, and whose help tells more.
#pragma once

#include <string>
#include <vector>

namespace CLI {
class App;
class ParseError;
}  // namespace CLI

namespace hushmill::app {

/// `words`: the command line without the program's name.
std::string usage_line(const CLI::App& app, const CLI::ParseError& error, const std::vector<std::string>& words);

/// "a, b or c".
std::string listed(const std::vector<std::string>& words);

/// The candidate that needs the fewest letters changed, left out, added or swapped; empty if that is more than a third
/// of the word.
std::string nearest_word(const std::string& word, const std::vector<std::string>& candidates);

}  // namespace hushmill::app
