// `hushmill tap`: natural frequencies and damping from hammer taps, of a recording or live.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace hushmill::app {

/// Adds the command; `run` is set to its work: exit code 0 when at least one mode was found, 1 when none was.
void add_tap(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
