// The lessons: in a window, or written to a sound file without one.
#pragma once

#include <functional>

#include "dashboard/dashboard.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// The lessons in a window, first of them first; for the dashboard, which waits until they are left.
void show_lessons(const dashboard::DashboardSettings& window);

/// Adds the command `lesson`; its work is put into `run`.
void add_lesson(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
