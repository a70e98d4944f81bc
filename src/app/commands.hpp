// The commands of the one binary. Each adds itself to the command line and runs when chosen.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace hushmill::app {

/// Adds every command; `run` is set to the chosen one's work and returns the exit code.
void add_commands(CLI::App& app, std::function<int()>& run);

/// The whole command line of the program: the dashboard's options, every command, help and version. `run` as above; what is
/// returned opens the dashboard, for when no command was chosen, and owns what the dashboard's options are read into: keep it while
/// `app` parses.
[[nodiscard]] std::function<int()> make_command_line(CLI::App& app, std::function<int()>& run);

/// Parses and runs. Exit codes: 0 fine, 1 the outside failed, 2 bad usage or bad input, with one line on standard error.
int run_hushmill(int argc, const char* const* argv);

}  // namespace hushmill::app
