// `hushmill tap`: natural frequencies and damping from hammer taps, of a recording or live.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "dashboard/dashboard.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// The tap test step by step in a window, by the microphone; for the dashboard, which waits until it is left. Modes are kept in `file`, or
/// in the user's data folder when there is none. Gives back the file when it then holds taps of tool or part.
std::optional<std::string> show_taps(const dashboard::DashboardSettings& window, const std::string& device, const std::optional<std::string>& file, int flutes);

/// Adds the command; `run` is set to its work: exit code 0 when at least one mode was found, 1 when none was.
void add_tap(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
