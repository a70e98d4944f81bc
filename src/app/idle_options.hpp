// Options that were given where they do nothing: said, not passed over in silence.
#pragma once

#include <initializer_list>
#include <string>

namespace CLI {
class App;
}

namespace hushmill::app {

/// Throws UsageError if one of these was typed. `right`: what they would go with, as "--source microphone" or "a PDF".
void refuse_idle(const CLI::App& command, std::initializer_list<const char*> options, const std::string& right);
/// The same of every option whose group in the help begins with one of these words.
void refuse_idle_groups(const CLI::App& command, std::initializer_list<const char*> groups, const std::string& right);

}  // namespace hushmill::app
