// What the program says of itself with --help, taken apart: the outside source that manual page and completions are held against.
#pragma once

#include <set>
#include <string>
#include <vector>

namespace hushmill::test {

struct HelpPage {
  std::vector<std::string> command{};  ///< words after the program, none for the program itself
  std::set<std::string> options{};     ///< with their dashes, every name
  std::set<std::string> below{};       ///< commands right below

  std::string name() const;  ///< "journal list"
};

/// The help of a program and of all its commands. Throws std::runtime_error when one cannot be had.
std::vector<HelpPage> help_pages(const std::string& program);

/// One help text taken apart.
HelpPage read_help(const std::string& text);

}  // namespace hushmill::test
