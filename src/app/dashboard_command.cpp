#include "app/dashboard_command.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/doors.hpp"
#include "app/inch_words.hpp"
#include "app/keep_options.hpp"
#include "app/last_time.hpp"
#include "app/lesson_command.hpp"
#include "app/offer.hpp"
#include "app/shared_files.hpp"
#include "app/stop_signals.hpp"
#include "app/tap_command.hpp"
#include "app/watch.hpp"
#include "app/window_options.hpp"
#include "capture/errors.hpp"
#include "text/outside_text.hpp"
#include "dashboard/dashboard.hpp"
#include "journal/folders.hpp"
#include "live/live.hpp"
#include "live/log.hpp"
#include "setup/taps.hpp"

namespace hushmill::app {

namespace {
constexpr double kTerminalForS = 20;  // without a display, a simulated cut is watched this long

struct DashboardTexts {
  DoorTexts door;
  KeepTexts keep;
  std::string cuts;
  std::string look;
  WindowTexts window;
  bool inches = false, dark = false, greet = false, forget = false;
  bool source_typed = false;  // something of the source or its cut is among the options
};

live::LiveSettings live_settings(const Door& door, std::shared_ptr<live::Log> log, std::shared_ptr<live::Keeper> keeper) {
  live::LiveSettings settings{.card = door.cut.card(), .kind = door.kind, .real_time = door.kind != live::SourceKind::recording, .log = std::move(log), .keeper = std::move(keeper), .tags = door.trials.tags, .tried = door.cut.tried};
  settings.rules.hold_s = door.trials.rules.hold_s;
  // Nobody stands beside a recording to mark laps: as in its replay and its review each stretch is taken as the pass.
  settings.rules.pass_needed = door.kind != live::SourceKind::recording;
  for (const auto& change : door.cut.rpm_at) settings.entered_later.push_back({change.at_s, change.value});
  return settings;
}

// Where the user's own cuts are, then the folder that was named.
std::vector<std::filesystem::path> cut_folders(const std::string& named) {
  std::vector<std::filesystem::path> folders;
  if (const auto own = journal::settings_folder()) folders.push_back(*own / "cuts");
  if (!named.empty()) {
    const auto folder = with_installed(named);
    if (!std::filesystem::is_directory(folder)) throw UsageError("--cuts is '" + named.substr(0, 200) + "', which is no folder; one with cuts or set-ups in files would be right");
    folders.emplace_back(folder);
  }
  return folders;
}

// A recording is listened to as fast as it goes, for the journal; what is seen and heard is its replay.
std::optional<dashboard::DashboardSettings::Recording> recording_of(const DoorTexts& texts, const Door& door) {
  if (door.kind != live::SourceKind::recording) return std::nullopt;
  dashboard::DashboardSettings::Recording recording{texts.file, door.cut.card(), {}, door.cut.tried, texts.channel.empty() ? capture::Channel::mix : parse_channel(texts.channel)};
  for (const auto& change : door.cut.rpm_at) {
    auto card = door.cut.card();
    card.override_percent = 100.0 * change.value / card.programmed_rpm;
    recording.steps.push_back({change.at_s, live::ChangeCard{card}});
  }
  for (const auto& tag : door.trials.tags) {
    recording.steps.push_back({tag.from_s, live::TagPlace{tag.place}});
    recording.steps.push_back({tag.to_s, live::TagPlace{}});
  }
  std::stable_sort(recording.steps.begin(), recording.steps.end(), [](const auto& a, const auto& b) { return a.t_s < b.t_s; });
  return recording;
}

bool same(const live::CutCard& a, const live::CutCard& b) {
  return live::same_taps(a, b) && a.programmed_rpm == b.programmed_rpm && a.override_percent == b.override_percent && a.flutes == b.flutes &&
         a.diameter_mm == b.diameter_mm && a.radial_mm == b.radial_mm && a.depth_mm == b.depth_mm && a.milling == b.milling &&
         a.feed_mm_min == b.feed_mm_min && a.min_rpm == b.min_rpm && a.max_rpm == b.max_rpm &&
         a.tool_max_rpm == b.tool_max_rpm && a.knob_step_percent == b.knob_step_percent && a.knob_min_percent == b.knob_min_percent &&
         a.knob_max_percent == b.knob_max_percent && a.damping_ratio == b.damping_ratio;
}

bool same(const LastTime& a, const LastTime& b) {
  if (!(a.liking == b.liking) || a.choice.has_value() != b.choice.has_value()) return false;
  return !a.choice || (a.choice->kind == b.choice->kind && a.choice->device == b.choice->device &&
                       a.choice->file == b.choice->file && same(a.choice->card, b.choice->card));
}

dashboard::Look parse_look(const std::string& text) {
  if (text == "room") return dashboard::Look::room;
  if (text == "bench") return dashboard::Look::bench;
  if (text == "teach") return dashboard::Look::teach;
  throw UsageError("--look is '" + text.substr(0, 60) + "'; room, bench or teach would be right");
}

// What was left last time, then what was typed now.
dashboard::DashboardSettings settings_for(const DashboardTexts& texts, const dashboard::Liking& liking) {
  dashboard::DashboardSettings settings;
  static_cast<dashboard::Liking&>(settings) = liking;
  take_window(texts.window, settings);
  if (texts.dark) settings.light_theme = false;
  if (texts.inches || speaks_inches(settings_text(texts.door.cut))) settings.units = dashboard::Units::inch;
  if (!texts.look.empty()) settings.look = parse_look(texts.look);
  return settings;
}

// The running instrument behind the window, and the way to another one.
class Running {
 public:
  explicit Running(const DashboardTexts& texts) : texts_(texts) {
    const auto folder = live::state_folder();
    if (folder) log_ = std::make_shared<live::Log>(*folder);
  }
  ~Running() { close(); }
  Running(const Running&) = delete;
  Running& operator=(const Running&) = delete;

  // Throws what opening a door throws; what ran before goes on then.
  void open(const DoorTexts& door_texts, const dashboard::Choice& choice) {
    Door door = open_door(door_texts);
    close();
    DashboardTexts kept = texts_;
    kept.door = door_texts;
    kept.keep.inches = inches_;
    keeper_ = make_keeper(kept.keep, kept.door, door, KeepFor::dashboard);  // before the source is handed over
    auto settings = live_settings(door, log_, keeper_);
    if (settings.card.tap_count == 0) {  // options have no words for single taps: those of last time come with the choice
      settings.card.taps = choice.card.taps;
      settings.card.tap_count = choice.card.tap_count;
    }
    recording_ = recording_of(door_texts, door);
    instrument_ = std::make_unique<live::Live>(settings, std::move(door.source));
    choice_ = choice;
  }

  void show_inches(bool on) noexcept { inches_ = on; }

  bool poll(live::State& state) { return instrument_ && instrument_->poll(state); }
  bool send(const live::Command& command) { return instrument_ && instrument_->send(command); }
  const std::optional<dashboard::Choice>& choice() const { return choice_; }
  const std::optional<dashboard::DashboardSettings::Recording>& recording() const { return recording_; }

 private:
  // Writes the end of the session that ran, and says what of it the disk did not take.
  void close() {
    instrument_.reset();
    if (!keeper_) return;
    const auto kept = keeper_->close();
    for (const auto& trouble : {kept.sound_trouble, kept.journal ? live::not_all_kept(kept, keeper_->noted()) : std::string()})
      if (!trouble.empty()) std::fprintf(stderr, "hushmill: %s\n", text::plain_line(trouble).c_str());
    tell_unlisted(kept);
    keeper_.reset();
  }

  // Without the journal nobody else will ever say that these files are there.
  void tell_unlisted(const live::KeepingState& kept) const {
    if (!texts_.keep.no_journal || kept.kept_recordings == 0) return;
    std::fprintf(stderr, "hushmill: %d recording%s in %s, the last %s; without the journal no list knows %s and no rule deletes %s\n", kept.kept_recordings, kept.kept_recordings == 1 ? "" : "s",
                 text::plain_line((data_folder(texts_.keep.data) / journal::kRecordings).string()).c_str(), text::plain_line(kept.last_file).c_str(), kept.kept_recordings == 1 ? "it" : "them", kept.kept_recordings == 1 ? "it" : "them");
  }

  const DashboardTexts& texts_;
  std::shared_ptr<live::Log> log_;
  std::shared_ptr<live::Keeper> keeper_;
  bool inches_ = false;
  std::unique_ptr<live::Live> instrument_;
  std::optional<dashboard::Choice> choice_;
  std::optional<dashboard::DashboardSettings::Recording> recording_;
};

live::CutCard with_taps(live::CutCard card, const std::string& file) {
  card.tap_count = 0;
  for (const auto& mode : setup::load_taps(file))
    if (static_cast<std::size_t>(card.tap_count) < card.taps.size())
      card.taps[static_cast<std::size_t>(card.tap_count++)] = {mode.natural_hz, mode.damping_ratio, mode.on == setup::TappedOn::part, mode.on == setup::TappedOn::machine};
  return card;
}

// What the options chose, in the words of the greeting.
dashboard::Choice typed_choice(const DoorTexts& texts) {
  dashboard::Choice choice;
  choice.kind = texts.source == "rig" ? live::SourceKind::rig : texts.source == "recording" ? live::SourceKind::recording : live::SourceKind::microphone;
  choice.device = texts.device;
  choice.file = texts.file;
  return choice;
}

int watch_instead(const DashboardTexts& texts, const DoorTexts& door_texts, const dashboard::NoDisplay& error, std::optional<double> for_s) {
  if (!texts.window.screenshot.empty()) throw capture::OutsideFailed(std::string(error.what()) + "; no screenshot was written");
  auto door = open_door(door_texts);
  std::fprintf(stderr, "hushmill: %s; watching in the terminal instead\n", text::plain_line(error.what()).c_str());
  WatchSettings watching;
  watching.cut = door.cut;
  watching.trials = door.trials;
  watching.keep_pace = door.kind == live::SourceKind::rig;
  watching.may_return = door.kind == live::SourceKind::microphone;
  watching.for_s = for_s;
  if (!watching.for_s && door.kind == live::SourceKind::rig) watching.for_s = kTerminalForS;
  return watch(*door.source, watching);
}

int run(const DashboardTexts& texts) {
  // A picture shows what was asked for, not how somebody left the screen.
  const bool remembers = texts.window.screenshot.empty() && !texts.forget;
  const auto file = remembers ? last_time_file() : std::nullopt;
  LastTime last = (file ? read_last_time(*file) : std::nullopt).value_or(LastTime{});
  dashboard::DashboardSettings settings = settings_for(texts, last.liking);

  DoorTexts door_texts = texts.door;
  Running running(texts);
  running.show_inches(settings.units == dashboard::Units::inch);
  if (texts.source_typed) {
    running.open(door_texts, typed_choice(door_texts));
  } else if (last.choice && !texts.greet) {
    try {
      door_texts = door_texts_for(*last.choice, texts.door);
      running.open(door_texts, *last.choice);
    } catch (const std::exception& error) {
      settings.greet_trouble = error.what();
    }
  }
  settings.greet = !running.choice();
  settings.recording = running.recording();
  settings.job = texts.keep.job;
  settings.cut_folders = cut_folders(texts.cuts);
  settings.kept_folder = texts.keep.data.empty() ? journal::data_folder().value_or("").string() : texts.keep.data;

  LastTime written = last;
  const StopSignals stop;
  settings.end_asked = &StopSignals::asked;
  dashboard::InstrumentDoor door;
  door.poll = [&](live::State& state) { return running.poll(state); };
  door.send = [&](const live::Command& command) { return running.send(command); };
  door.offer = [&] { return make_offer(texts.keep.data, running.choice() ? running.choice() : last.choice); };
  door.open = [&](const dashboard::Choice& choice) -> std::string {
    try {
      door_texts = door_texts_for(choice, texts.door);
      running.open(door_texts, choice);
      return {};
    } catch (const std::exception& error) {
      return error.what();
    }
  };
  if (file) {
    door.remember = [&](const dashboard::Liking& liking, const live::CutCard& card) {
      LastTime now{liking, running.choice()};
      if (now.choice) now.choice->card = card;
      if (same(now, written)) return;
      write_last_time(*file, now);
      written = now;
    };
  }
  std::optional<dashboard::Elsewhere> elsewhere;
  live::CutCard card;
  dashboard::Remembered remembered;
  door.go = [&](dashboard::Elsewhere where, const live::CutCard& now) {
    elsewhere = where;
    card = now;
  };
  try {
    for (;;) {
      elsewhere.reset();
      dashboard::run_dashboard(settings, door, &remembered);
      if (!elsewhere) return 0;
      // The session goes on after it; meanwhile the other screen has the microphone to itself.
      running.send(live::PauseListening{true, true});
      dashboard::DashboardSettings window = settings;  // a picture was for the dashboard
      static_cast<dashboard::Liking&>(window) = remembered.liking;
      window.screenshot_after_s.reset();
      window.screenshot_file.clear();
      window.drawn_text_file.clear();
      if (*elsewhere == dashboard::Elsewhere::lessons) {
        show_lessons(window);
      } else {
        door_texts.cut.taps = show_taps(window, door_texts.device, door_texts.cut.taps, card.flutes);
        if (door_texts.cut.taps && running.choice()) running.send(live::ChangeCard{with_taps(card, *door_texts.cut.taps)});
      }
      running.send(live::PauseListening{false, true});
      settings.greet = !running.choice();
    }
  } catch (const dashboard::NoDisplay& error) {
    return watch_instead(texts, door_texts, error, settings.close_after_s);
  }
}
}  // namespace

std::function<int()> add_dashboard(CLI::App& app) {
  auto texts = std::make_shared<DashboardTexts>();
  add_door_options(app, texts->door);
  add_keep_options(app, texts->keep, KeepFor::dashboard);
  constexpr const char* kGroup = "The window";
  app.add_option("--cuts", texts->cuts, "Another folder with cuts and set-ups in files, beside the user's own")->type_name("FOLDER")->group(kGroup);
  add_window_options(app, texts->window, kGroup);
  app.add_flag("--inches", texts->inches, "Lengths and feeds in inches, as by the key U")->group(kGroup);
  app.add_flag("--dark", texts->dark, "Dark colours, whatever there was last time")->group(kGroup)->excludes(app.get_option("--light"));
  app.add_option("--look", texts->look, "room (verdict and advice), bench (all) or teach (with explanations)")->type_name("LOOK")->group(kGroup);
  app.add_flag("--greet", texts->greet, "Ask first what to listen to, even if it is known from last time")->group(kGroup);
  app.add_flag("--forget", texts->forget, "Neither take up nor keep set-up and layout")->group(kGroup);
  return [texts, &app] {
    for (const char* option : {"--source", "--file", "--device", "--rpm", "--flutes"})
      texts->source_typed = texts->source_typed || app.count(option) > 0;
    texts->door.cut.data = texts->keep.data;
    return run(*texts);
  };
}

}  // namespace hushmill::app
