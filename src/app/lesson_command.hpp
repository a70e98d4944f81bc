// The lessons: in a window, or written to a sound file without one.
#pragma once

#include <functional>
#include <optional>

#include "lessons/scene.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// Adds the command `lesson`; its work is put into `run`.
void add_lesson(CLI::App& app, std::function<int()>& run);

}  // namespace hushmill::app
