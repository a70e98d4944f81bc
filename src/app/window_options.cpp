#include "app/window_options.hpp"

#include <CLI/CLI.hpp>

#include "app/option_text.hpp"

namespace hushmill::app {

dashboard::DashboardSettings window_settings(const WindowTexts& texts) {
  dashboard::DashboardSettings settings;
  const auto x = texts.size.find('x');
  if (x == std::string::npos) throw UsageError("--size is '" + texts.size.substr(0, 60) + "'; width and height as 1280x720 would be right");
  settings.width = parse_whole("--size", texts.size.substr(0, x), 640, 7680);
  settings.height = parse_whole("--size", texts.size.substr(x + 1), 360, 4320);
  if (!texts.scale.empty()) settings.scale = parse_number("--scale", texts.scale, 0.5, 4);
  settings.light_theme = texts.light;
  settings.full_screen = texts.full_screen;
  settings.screenshot_file = texts.screenshot;
  settings.drawn_text_file = texts.drawn_text;
  if (texts.for_s) settings.close_after_s = parse_number("--for-s", *texts.for_s, 0.1, 1e7);
  if (!texts.screenshot.empty()) {
    settings.screenshot_after_s = texts.screenshot_after_s ? parse_number("--screenshot-after-s", *texts.screenshot_after_s, 0, 1e6) : 10.0;
    if (!settings.close_after_s) settings.close_after_s = *settings.screenshot_after_s + 0.5;
  } else if (texts.screenshot_after_s) {
    throw UsageError("--screenshot is missing; a file to write, as --screenshot screen.png, would be right");
  }
  return settings;
}

void add_window_options(CLI::App& app, WindowTexts& texts) {
  constexpr const char* kGroup = "The window";
  app.add_option("--size", texts.size, "Width and height of the window")->type_name("WxH")->group(kGroup)->capture_default_str();
  app.add_option("--scale", texts.scale, "Scale of text and marks, default the screen's")->type_name("N")->group(kGroup);
  app.add_flag("--light", texts.light, "Light colours")->group(kGroup);
  app.add_flag("--full-screen", texts.full_screen, "Fill the screen")->group(kGroup);
  app.add_option("--for-s", texts.for_s, "Close after this many seconds; with --out, the length of the sound, default 20")->type_name("S")->group(kGroup);
  app.add_option("--screenshot", texts.screenshot, "Write the window to this PNG, then close")->type_name("FILE")->group(kGroup);
  app.add_option("--screenshot-after-s", texts.screenshot_after_s, "Seconds before the picture is taken, default 10")->type_name("S")->group(kGroup);
  app.add_option("--drawn-text", texts.drawn_text, "Write every drawn text with its place to this file")->type_name("FILE")->group(kGroup);
}

}  // namespace hushmill::app
