#include "app/dashboard_command.hpp"

#include <CLI/CLI.hpp>
#include <cstdio>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/doors.hpp"
#include "app/keep_options.hpp"
#include "app/watch.hpp"
#include "capture/errors.hpp"
#include "dashboard/dashboard.hpp"
#include "live/live.hpp"
#include "live/log.hpp"

namespace hushmill::app {

namespace {
constexpr double kTerminalForS = 20;  // without a display, a simulated cut is watched this long

struct Texts {
  DoorTexts door;
  KeepTexts keep;
  std::string screenshot, drawn_text, size = "1280x720", scale;
  std::optional<std::string> screenshot_after_s, for_s;
  bool light = false, full_screen = false;
};

void parse_size(const std::string& text, dashboard::DashboardSettings& settings) {
  const auto x = text.find('x');
  if (x == std::string::npos) throw UsageError("--size is '" + text.substr(0, 60) + "'; width and height as 1280x720 would be right");
  settings.width = parse_whole("--size", text.substr(0, x), 640, 7680);
  settings.height = parse_whole("--size", text.substr(x + 1), 360, 4320);
}

// The entered speed changes of --rpm-at, made on the card when the sound has come that far. (The simulated machine turns its own
// knob at the very sample.)
class SpeedPlan {
 public:
  explicit SpeedPlan(std::vector<TimedValue> changes) : changes_(std::move(changes)) {}
  void follow(const live::State& state, live::Live& instrument) {
    if (next_ == changes_.size() || state.snapshot.t_s < changes_[next_].at_s) return;
    auto card = state.card;
    card.override_percent = 100.0 * changes_[next_].value / card.programmed_rpm;
    if (instrument.send(live::ChangeCard{card})) ++next_;
  }

 private:
  std::vector<TimedValue> changes_;
  std::size_t next_ = 0;
};

// A journal that cannot be opened is no reason not to listen; a wrong option is.
std::shared_ptr<live::Keeper> keeper_or_none(const Texts& texts, const Door& door) {
  try {
    return make_keeper(texts.keep, texts.door, door, true);
  } catch (const UsageError&) {
    throw;
  } catch (const std::exception& error) {
    std::fprintf(stderr, "hushmill: %s; listening without keeping anything\n", error.what());
    return nullptr;
  }
}

live::LiveSettings live_settings(const Door& door, std::shared_ptr<live::Log> log, std::shared_ptr<live::Keeper> keeper) {
  live::LiveSettings settings{.card = door.cut.card(), .kind = door.kind, .log = std::move(log), .keeper = std::move(keeper), .tags = door.trials.tags};
  settings.rules.hold_s = door.trials.rules.hold_s;
  return settings;
}

int run(const Texts& texts) {
  dashboard::DashboardSettings settings;
  parse_size(texts.size, settings);
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

  auto door = open_door(texts.door);
  try {
    const auto folder = live::state_folder();
    const auto log = folder ? std::make_shared<live::Log>(*folder) : nullptr;
    const auto running = live_settings(door, log, keeper_or_none(texts, door));  // before the source is handed over
    live::Live instrument(running, std::move(door.source));
    SpeedPlan plan(door.cut.rpm_at);
    return dashboard::run_dashboard(settings, {[&](live::State& state) {
                                                 const bool newer = instrument.poll(state);
                                                 if (newer) plan.follow(state, instrument);
                                                 return newer;
                                               },
                                               [&](const live::Command& command) { return instrument.send(command); }});
  } catch (const dashboard::NoDisplay& error) {
    if (!texts.screenshot.empty()) throw capture::OutsideFailed(std::string(error.what()) + "; no screenshot was written");
    std::fprintf(stderr, "hushmill: %s; watching in the terminal instead\n", error.what());
  }
  door = open_door(texts.door);
  WatchSettings watching;
  watching.cut = door.cut;
  watching.trials = door.trials;
  watching.keep_pace = door.kind == live::SourceKind::rig;
  watching.for_s = settings.close_after_s;
  if (!watching.for_s && door.kind == live::SourceKind::rig) watching.for_s = kTerminalForS;
  return watch(*door.source, watching);
}
}  // namespace

std::function<int()> add_dashboard(CLI::App& app) {
  auto texts = std::make_shared<Texts>();
  add_door_options(app, texts->door);
  add_keep_options(app, texts->keep, true);
  constexpr const char* kGroup = "The window";
  app.add_option("--size", texts->size, "Width and height of the window")->type_name("WxH")->group(kGroup)->capture_default_str();
  app.add_option("--scale", texts->scale, "Scale of text and marks, default the screen's")->type_name("N")->group(kGroup);
  app.add_flag("--light", texts->light, "Light colours")->group(kGroup);
  app.add_flag("--full-screen", texts->full_screen, "Fill the screen")->group(kGroup);
  app.add_option("--for-s", texts->for_s, "Close after this many seconds")->type_name("S")->group(kGroup);
  app.add_option("--screenshot", texts->screenshot, "Write the window to this PNG, then close")->type_name("FILE")->group(kGroup);
  app.add_option("--screenshot-after-s", texts->screenshot_after_s, "Seconds before the picture is taken, default 10")->type_name("S")->group(kGroup);
  app.add_option("--drawn-text", texts->drawn_text, "Write every drawn text with its place to this file")->type_name("FILE")->group(kGroup);
  return [texts] { return run(*texts); };
}

}  // namespace hushmill::app
