// `hushmill microphone`: the guided check of a microphone, or of a recording made with it.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace hushmill::app {

/// Adds the command; `run` is set to its work: exit code 0 for a pass, 1 for a named fault or a check without an end.
void add_microphone(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
