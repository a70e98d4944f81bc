// The options of a window, as they were typed: the dashboard's, the lessons', the taps'.
#pragma once

#include <optional>
#include <string>

#include "dashboard/dashboard.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// Heading of these options in the help.
inline constexpr const char* kWindowGroup = "The window";

struct WindowTexts {
  std::string scale, screenshot, drawn_text;
  std::optional<std::string> size, screenshot_after_s, for_s;
  bool light = false, full_screen = false;
};

void add_window_options(CLI::App& command, WindowTexts& texts, const char* group = kWindowGroup,
                        const char* for_s_help = "Close after this many seconds");
/// What was typed replaces what `settings` hold. Throws UsageError.
void take_window(const WindowTexts& texts, dashboard::DashboardSettings& settings);

}  // namespace hushmill::app
