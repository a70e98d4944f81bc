// Bare `hushmill`: the dashboard on the chosen door; without a display the terminal monitor takes its place.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace hushmill::app {

/// Adds the dashboard's options to the top level; the work runs when no command was named.
std::function<int()> add_dashboard(CLI::App& app);

}  // namespace hushmill::app
