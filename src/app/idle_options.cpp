#include "app/idle_options.hpp"

#include <CLI/CLI.hpp>

#include "app/option_text.hpp"

namespace hushmill::app {

namespace {
void refuse_if_given(const CLI::Option& option, const std::string& right) {
  if (option.count() > 0) throw UsageError(option.get_name() + " does nothing here; with " + right + ", or left out, it would be right");
}
}  // namespace

void refuse_idle(const CLI::App& command, std::initializer_list<const char*> options, const std::string& right) {
  for (const char* name : options) refuse_if_given(*command.get_option(name), right);
}

void refuse_idle_groups(const CLI::App& command, std::initializer_list<const char*> groups, const std::string& right) {
  for (const CLI::Option* option : command.get_options())
    for (const char* group : groups)
      if (option->get_group().rfind(group, 0) == 0) refuse_if_given(*option, right);
}

}  // namespace hushmill::app
