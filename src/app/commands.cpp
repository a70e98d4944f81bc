#include "app/commands.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <memory>
#include <new>

#include "app/cut_options.hpp"
#include "app/dashboard_command.hpp"
#include "app/doors.hpp"
#include "app/json.hpp"
#include "app/journal_command.hpp"
#include "app/keep_options.hpp"
#include "app/kept_trials.hpp"
#include "app/lesson_command.hpp"
#include "app/lobes_command.hpp"
#include "app/microphone_command.hpp"
#include "app/out_file.hpp"
#include "app/report_command.hpp"
#include "app/review.hpp"
#include "app/rig_file.hpp"
#include "app/rig_options.hpp"
#include "app/tap_command.hpp"
#include "app/text.hpp"
#include "app/trial_options.hpp"
#include "app/usage_line.hpp"
#include "app/version.hpp"
#include "app/watch.hpp"
#include "capture/audio_device.hpp"
#include "capture/errors.hpp"
#include "text/outside_text.hpp"
#include "capture/recording.hpp"

namespace hushmill::app {

namespace {
void add_review(CLI::App& app, std::function<int()>& run) {
  struct Texts {
    std::string file, channel = "mix";
    CutOptionTexts cut;
    TrialOptionTexts trials;
    bool json = false;
  };
  auto texts = std::make_shared<Texts>();
  auto* command = app.add_subcommand("review", "Listen to a recording as fast as it goes and report what was heard");
  command->footer("Example: hushmill review first-article.flac --rpm 6000 --flutes 4 --feed-mm-min 1200");
  command->add_option("file", texts->file, "WAV, FLAC, OGG or AIFF, mono or stereo, 16 to 192 kHz")->required()->type_name("FILE");
  command->add_option("--channel", texts->channel, "Channel of a stereo file: left, right or mix")->type_name("WHICH")->capture_default_str();
  command->add_flag("--json", texts->json, "One JSON document on standard output");
  add_cut_options(*command, texts->cut, CutNeeds::speed_and_flutes, true);
  add_journal_folder(*command, texts->cut.data);
  add_trial_options(*command, texts->trials);
  command->callback([texts, &run] {
    run = [texts] {
      auto cut = cut_options(texts->cut);
      take_kept_trials(texts->cut, cut);
      const auto trials = trial_options(texts->trials);
      tell_overlaps(trials.tags);
      capture::Recording recording(texts->file, parse_channel(texts->channel));
      const auto result = review(recording, texts->file, cut, trials);
      if (const auto trouble = recording.trouble(); !trouble.empty()) std::fprintf(stderr, "hushmill: %s\n", text::plain_line(trouble).c_str());
      std::fputs(texts->json ? (dump(to_json(result), 2) + "\n").c_str() : text::plain_lines(to_text(result)).c_str(), stdout);
      return 0;
    };
  });
}

void add_speeds(CLI::App& app, std::function<int()>& run) {
  struct Texts {
    std::string chatter_hz;
    CutOptionTexts cut;
    bool json = false;
  };
  auto texts = std::make_shared<Texts>();
  auto* command = app.add_subcommand("speeds", "Which way to turn the speed, from a chatter frequency, without sound");
  command->footer("Example: hushmill speeds --chatter-hz 1250 --rpm 6000 --flutes 4 --max-rpm 12000");
  command->add_option("--chatter-hz", texts->chatter_hz, "Frequency of the chatter tone")->required()->type_name("HZ");
  command->add_flag("--json", texts->json, "The advice as JSON on standard output");
  add_cut_options(*command, texts->cut, CutNeeds::speed_and_flutes, false);
  add_journal_folder(*command, texts->cut.data);
  command->callback([texts, &run] {
    run = [texts] {
      auto cut = cut_options(texts->cut);
      take_kept_trials(texts->cut, cut);
      const auto advice = advise::advise(cut.question(parse_number("--chatter-hz", texts->chatter_hz, 1, 96000)));
      std::fputs(texts->json ? (dump(to_json(advice), 2) + "\n").c_str() : text::plain_lines(to_text(advice, cut.inches)).c_str(), stdout);
      return 0;
    };
  });
}

void add_devices(CLI::App& app, std::function<int()>& run) {
  auto json = std::make_shared<bool>(false);
  auto* command = app.add_subcommand("devices", "List the sound devices of this computer");
  command->add_flag("--json", *json, "As JSON on standard output");
  command->callback([json, &run] {
    run = [json] {
      const auto devices = capture::audio_devices();
      if (*json) {
        Json list = Json::array();
        for (const auto& d : devices)
          list.push_back({{"number", d.number}, {"name", d.name}, {"system", d.system}, {"inputs", d.inputs}, {"outputs", d.outputs},
                          {"default_rate_hz", d.default_rate_hz}, {"default_input", d.default_input}, {"default_output", d.default_output}});
        std::puts(dump(list, 2).c_str());
        return 0;
      }
      if (devices.empty()) std::puts("No sound devices were found.");
      for (const auto& d : devices)
        std::printf("%3d  %-40s %s, %d in, %d out, %.0f Hz%s\n", d.number, d.name.c_str(), d.system.c_str(), d.inputs, d.outputs, d.default_rate_hz,
                    d.default_input ? "  (default microphone)" : "");
      return 0;
    };
  });
}

// The air before the cut may be longer than the sound; what a person asked to change must be heard.
void refuse_too_late(const RigOptions& options, double duration_s) {
  for (const auto& change : options.changes)
    if (!change.in_cut && change.at_s >= duration_s)
      throw UsageError("--for-s is " + plain(duration_s) + ", and " + (change.spindle_rpm ? "the speed" : change.depth_mm ? "the depth" : "the width") + " is to change at " + plain(change.at_s) +
                       " s, when all is over; a longer sound would be right");
}

void add_rig(CLI::App& app, std::function<int()>& run) {
  struct Texts {
    std::string out;
    std::optional<std::string> for_s;
    RigOptionTexts rig;
  };
  auto texts = std::make_shared<Texts>();
  auto* command = app.add_subcommand("rig", "Write the simulated machine to a sound file, with its truth in a text file beside it");
  command->footer("Example: hushmill rig --scene bracket-wall --depth-at 5:3 --for-s 10 --out cut.wav");
  command->add_option("--out", texts->out, "Sound file to write, .wav or .flac")->required()->type_name("FILE");
  command->add_option("--for-s", texts->for_s, "Length of the sound, default 10 s")->type_name("S");
  add_rig_options(*command, texts->rig, true);
  command->callback([texts, &run] {
    run = [texts] {
      const double duration_s = texts->for_s ? parse_number("--for-s", *texts->for_s, 0.1, 36000) : 10.0;
      check_out_file("--out", texts->out, {".wav", ".flac"});
      const auto options = rig_options(texts->rig, std::nullopt, {});
      refuse_too_late(options, duration_s);
      const auto record = write_rig(options, duration_s, texts->out);
      if (!options.mounting_note.empty()) std::printf("%s\n", text::plain_line(options.mounting_note).c_str());
      if (record.onset_s())
        std::printf("%s: %.1f s, chatter from %.3f s%s\n", text::plain_line(texts->out).c_str(), record.duration_s, *record.onset_s(),
                    record.chatter.size() > 1 ? (", " + std::to_string(record.chatter.size()) + " times").c_str() : "");
      else
        std::printf("%s: %.1f s, no chatter\n", text::plain_line(texts->out).c_str(), record.duration_s);
      return 0;
    };
  });
}

void add_watch(CLI::App& app, std::function<int()>& run) {
  struct Texts {
    DoorTexts door;
    KeepTexts keep;
    std::optional<std::string> for_s;
    bool json = false;
  };
  auto texts = std::make_shared<Texts>();
  auto* command = app.add_subcommand("watch", "Listen and print one line per event");
  command->footer("Examples: hushmill watch --rpm 6000 --flutes 4\n          hushmill watch --source rig --for-s 20");
  add_door_options(*command, texts->door);
  add_keep_options(*command, texts->keep, KeepFor::terminal);
  command->add_option("--for-s", texts->for_s, "Stop after this many seconds of sound")->type_name("S");
  command->add_flag("--json", texts->json, "One JSON object a line on standard output");
  command->callback([texts, command, &run] {
    run = [texts, command] {
      refuse_idle_of_door(*command, texts->door);
      WatchSettings settings;
      settings.json = texts->json;
      if (texts->for_s) settings.for_s = parse_number("--for-s", *texts->for_s, 0.1, 1e7);
      texts->door.cut.data = texts->keep.data;
      auto door = open_door(texts->door);
      settings.cut = door.cut;
      settings.trials = door.trials;
      tell_overlaps(door.trials.tags);
      settings.keep_pace = door.kind == live::SourceKind::rig;
      settings.may_return = door.kind == live::SourceKind::microphone;
      settings.keeper = make_keeper(texts->keep, texts->door, door, KeepFor::terminal);
      return watch(*door.source, settings);
    };
  });
}
}  // namespace

void add_commands(CLI::App& app, std::function<int()>& run) {
  add_watch(app, run);
  add_review(app, run);
  add_speeds(app, run);
  add_devices(app, run);
  add_rig(app, run);
  add_lobes(app, run);
  add_microphone(app, run);
  add_journal(app, run);
  add_report(app, run);
  add_tap(app, run);
  add_lesson(app, run);
}

std::function<int()> make_command_line(CLI::App& app, std::function<int()>& run) {
  app.name("hushmill");
  app.description("Hushmill listens to a milling cut, says when it chatters and which way to turn the spindle speed.");
  app.set_version_flag("--version", version_text(), "Print version and build and exit");
  app.get_formatter()->column_width(34);
  auto dashboard = add_dashboard(app);
  add_commands(app, run);
  app.require_subcommand(0, 1);
  app.footer("Without a command the dashboard opens. On any machine: hushmill --source rig");
  return dashboard;
}

namespace {

/// One line, whatever names it repeats.
void tell_failure(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  std::fprintf(stderr, "hushmill: %s\n", text::plain_line(text).c_str());
}

// Options before a command are the dashboard's: with a command they would be read and go unheeded.
void refuse_before_command(const CLI::App& app) {
  const auto chosen = app.get_subcommands();
  if (chosen.empty()) return;
  for (const CLI::Option* option : app.get_options()) {
    if (option->count() == 0) continue;
    const auto name = option->get_name();
    const auto command = "hushmill " + chosen.front()->get_name();
    const bool known = chosen.front()->get_option_no_throw(name) != nullptr;
    throw UsageError(name + " before the command is the dashboard's; " + command + (known ? " " + name + " ..." : " without it") + " would be right");
  }
}

// A full disk or a closed pipe behind standard output: what was to be read is lost.
int told(int code) {
  const bool lost = std::fflush(stdout) != 0 || std::ferror(stdout) != 0;
  if (lost) throw capture::OutsideFailed("standard output could not be written; one with space would be right");
  return code;
}

}  // namespace

int run_hushmill(int argc, const char* const* argv) {
  CLI::App app;
  std::function<int()> run;
  const auto dashboard = make_command_line(app, run);
  try {
    app.parse(argc, argv);
    refuse_before_command(app);
    return told(run ? run() : dashboard());
  } catch (const CLI::Success& success) {
    return app.exit(success);  // --help, --version
  } catch (const CLI::ParseError& error) {
    tell_failure(usage_line(app, error, {argv + std::min(argc, 1), argv + argc}));
    return 2;
  } catch (const capture::OutsideFailed& error) {
    tell_failure(error.what());
    return 1;
  } catch (const std::invalid_argument& error) {  // UsageError, capture::BadInput, settings out of range
    tell_failure(error.what());
    return 2;
  } catch (const std::exception& error) {
    tell_failure(error.what());
    return 1;
  }
}

}  // namespace hushmill::app
