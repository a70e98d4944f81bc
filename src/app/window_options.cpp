#include "app/window_options.hpp"

#include <CLI/CLI.hpp>

#include "app/option_text.hpp"
#include "app/out_file.hpp"

namespace hushmill::app {

namespace {
void parse_size(const std::string& text, dashboard::DashboardSettings& settings) {
  const auto x = text.find('x');
  try {
    if (x == std::string::npos) throw UsageError("no x");
    settings.width = parse_whole("--size", text.substr(0, x), 640, 7680);
    settings.height = parse_whole("--size", text.substr(x + 1), 360, 4320);
  } catch (const UsageError&) {
    throw UsageError("--size is '" + text.substr(0, 60) + "'; width and height from 640x360 to 7680x4320, as 1280x720, would be right");
  }
}
}  // namespace

void take_window(const WindowTexts& texts, dashboard::DashboardSettings& settings) {
  if (texts.size) parse_size(*texts.size, settings);
  if (!texts.scale.empty()) settings.scale = parse_number("--scale", texts.scale, 0.5, 4);
  if (texts.light) settings.light_theme = true;
  if (texts.full_screen) settings.full_screen = true;
  settings.screenshot_file = texts.screenshot;
  if (!texts.drawn_text.empty()) check_out_folder("--drawn-text", texts.drawn_text);
  settings.drawn_text_file = texts.drawn_text;
  if (texts.for_s) settings.close_after_s = parse_number("--for-s", *texts.for_s, 0.1, 1e7);
  if (!texts.screenshot.empty()) {
    check_out_file("--screenshot", texts.screenshot, {".png"});
    settings.screenshot_after_s = texts.screenshot_after_s ? parse_number("--screenshot-after-s", *texts.screenshot_after_s, 0, 1e6) : 10.0;
    if (!settings.close_after_s) settings.close_after_s = *settings.screenshot_after_s + 0.5;
  } else if (texts.screenshot_after_s) {
    throw UsageError("--screenshot is missing; a file to write, as --screenshot screen.png, would be right");
  }
}

void add_window_options(CLI::App& app, WindowTexts& texts, const char* group, const char* for_s_help) {
  app.add_option("--size", texts.size, "Width and height of the window, default 1280x720 or that of last time")->type_name("WxH")->group(group);
  app.add_option("--scale", texts.scale, "Scale of text and marks, default the screen's")->type_name("N")->group(group);
  app.add_flag("--light", texts.light, "Light colours")->group(group);
  app.add_flag("--full-screen", texts.full_screen, "Fill the screen")->group(group);
  app.add_option("--for-s", texts.for_s, for_s_help)->type_name("S")->group(group);
  app.add_option("--screenshot", texts.screenshot, "Write the window to this PNG, then close")->type_name("FILE")->group(group);
  app.add_option("--screenshot-after-s", texts.screenshot_after_s, "Seconds before the picture is taken, default 10")->type_name("S")->group(group);
  app.add_option("--drawn-text", texts.drawn_text, "Write every drawn text with its place to this file, four times a second without a screenshot")->type_name("FILE")->group(group);
}

}  // namespace hushmill::app
