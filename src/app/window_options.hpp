// The options of a window of its own (lessons, taps), as they were typed.
#pragma once

#include <optional>
#include <string>

#include "dashboard/dashboard.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

struct WindowTexts {
  std::string size = "1280x720", scale, screenshot, drawn_text;
  std::optional<std::string> screenshot_after_s, for_s;
  bool light = false, full_screen = false;
};

void add_window_options(CLI::App& command, WindowTexts& texts);
/// Throws UsageError.
dashboard::DashboardSettings window_settings(const WindowTexts& texts);

}  // namespace hushmill::app
