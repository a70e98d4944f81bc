#include "app/tap_command.hpp"

#include <CLI/CLI.hpp>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "app/doors.hpp"
#include "app/idle_options.hpp"
#include "app/no_source.hpp"
#include "app/option_text.hpp"
#include "app/out_file.hpp"
#include "app/stop_signals.hpp"
#include "app/tap_report.hpp"
#include "app/window_options.hpp"
#include "capture/errors.hpp"
#include "capture/microphone.hpp"
#include "text/outside_text.hpp"
#include "capture/recording.hpp"
#include "dashboard/tap_screen.hpp"
#include "journal/folders.hpp"
#include "live/tap_bench.hpp"
#include "setup/taps.hpp"
#include "tap/tap_test.hpp"

namespace hushmill::app {

namespace {
constexpr double kTapBlockS = 0.05;
constexpr double kHeldBackS = 20;      // while modes are worked out nothing is lost
constexpr double kTapLookEveryS = 0.5;   // live: are there enough taps
constexpr double kRingOutS = 1.5;     // after the last tap that was waited for

struct TapTexts {
  std::string file, source, device, channel, on, save, taps = "5", seconds = "30";
  std::optional<std::string> flutes;
  bool json = false, window = false, start = false;
  WindowTexts look;
};

std::optional<setup::TappedOn> parse_on(const std::string& text) {
  if (text.empty()) return std::nullopt;
  for (const auto on : {setup::TappedOn::tool, setup::TappedOn::part, setup::TappedOn::machine})
    if (text == setup::word(on)) return on;
  throw UsageError("--for is '" + text.substr(0, 60) + "'; tool, part or machine would be right");
}

void hear_live(capture::Source& source, tap::TapTest& test, int wanted, double seconds, bool quiet) {
  if (!quiet) {
    for (const auto& caution : tap_cautions()) std::printf("Caution: %s\n", caution.c_str());
    std::printf("Listening to %s at %.0f Hz: two seconds of quiet, then %d taps. Ctrl-C ends.\n", source.name().c_str(), source.sample_rate_hz(), wanted);
    std::fflush(stdout);
  }
  std::optional<StopSignals> stop(std::in_place);
  std::vector<float> block(static_cast<std::size_t>(kTapBlockS * source.sample_rate_hz()));
  std::size_t said = 0;
  double next_look_s = kTapLookEveryS;
  while (!StopSignals::asked() && test.heard_s() < seconds) {
    const std::size_t n = source.read(block);
    if (n == 0 && source.ended()) break;
    if (n == 0) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    test.process(std::span<const float>(block).first(n));
    if (test.heard_s() < next_look_s) continue;
    next_look_s = test.heard_s() + kTapLookEveryS;
    const auto taps = test.taps();
    if (!quiet && taps.tap_s.size() > said) std::printf("%zu of %d taps.\n", said = taps.tap_s.size(), wanted);
    std::fflush(stdout);
    if (static_cast<int>(taps.tap_s.size()) >= wanted && test.heard_s() > taps.tap_s.back() + kRingOutS) break;
  }
  stop.reset();
}

void hear_all(capture::Source& source, tap::TapTest& test, const std::string& file) {
  std::vector<float> block(8192);
  while (!source.ended()) {
    test.process(std::span<const float>(block).first(source.read(block)));
    if (test.heard_s() >= tap::kLongestS)
      throw UsageError("file '" + file + "' is longer than " + plain(tap::kLongestS) + " s; the taps alone, cut out of it, would be right");
  }
}

void save(const std::string& file, setup::TappedOn on, const tap::Findings& findings) {
  std::vector<setup::TappedMode> modes;
  for (const auto& mode : findings.modes)
    modes.push_back({on, mode.natural_hz, mode.damping_ratio, mode.natural_hz_spread, mode.damping_ratio_spread, mode.taps_agreeing});
  setup::save_taps(file, on, modes);
}

int show(const TapTexts& texts, std::unique_ptr<capture::Source> source, std::optional<setup::TappedOn> on, int flutes) {
  dashboard::DashboardSettings look;
  take_window(texts.look, look);
  look.title = "Hushmill tap test";
  live::TapBenchSettings settings{.on = on.value_or(setup::TappedOn::tool), .file = texts.save, .paced = !texts.file.empty(), .heeded = texts.start};
  if (flutes > 0) settings.flutes = flutes;
  live::TapBench bench(settings, std::move(source));
  try {
    return dashboard::run_taps(look, {[&](live::TapState& state) { return bench.poll(state); }, [&](const live::TapCommand& command) { return bench.send(command); }});
  } catch (const dashboard::NoDisplay& error) {
    throw capture::OutsideFailed(std::string(error.what()) + "; without --window the taps are told in the terminal");
  }
}

int hear(const TapTexts& texts) {
  if (texts.file.empty() && texts.source.empty()) throw UsageError("nothing to hear; a sound file, or --source microphone, would be right");
  if (!texts.source.empty() && texts.source != "microphone")
    throw UsageError("--source is '" + texts.source.substr(0, 60) + "'; microphone, or a sound file instead of it, would be right");
  if (!texts.file.empty() && !texts.source.empty()) throw UsageError("--source and a file exclude each other; one of them would be right");
  const auto on = parse_on(texts.on);
  if (!texts.save.empty() && !on && !texts.window) throw UsageError("--save is given without --for; --for tool, part or machine, would be right");
  if (!texts.save.empty()) check_out_folder("--save", texts.save);
  const int wanted = parse_whole("--taps", texts.taps, 1, 50);
  const double seconds = parse_number("--seconds", texts.seconds, 1, tap::kLongestS);
  const int flutes = texts.flutes ? parse_whole("--flutes", *texts.flutes, 1, 64) : 0;
  if (!texts.save.empty() && std::filesystem::exists(texts.save)) setup::load_taps(texts.save);  // a wrong file is named before the work
  std::unique_ptr<capture::Source> source;
  if (texts.file.empty())
    source = std::make_unique<capture::Microphone>(
        capture::MicrophoneSettings{.device = texts.device, .channel = texts.channel.empty() ? capture::Channel::left : parse_channel(texts.channel), .held_back_s = kHeldBackS});
  else
    source = std::make_unique<capture::Recording>(texts.file, texts.channel.empty() ? capture::Channel::mix : parse_channel(texts.channel), tap::kLowestRateHz);
  if (texts.window) return show(texts, std::move(source), on, flutes);
  tap::TapTest test(source->sample_rate_hz());
  if (texts.file.empty())
    hear_live(*source, test, wanted, seconds, texts.json);
  else
    hear_all(*source, test, texts.file);
  if (const auto trouble = source->trouble(); !trouble.empty()) std::fprintf(stderr, "hushmill: %s\n", text::plain_line(trouble).c_str());
  const TapReport report{source->name(), source->sample_rate_hz(), test.findings(), on, flutes, texts.file.empty() && !texts.json};
  std::fputs(texts.json ? (dump(to_json(report), 2) + "\n").c_str() : text::plain_lines(to_text(report)).c_str(), stdout);
  if (!texts.save.empty() && !report.findings.modes.empty()) {
    save(texts.save, *on, report.findings);
    if (!texts.json) std::printf("Kept in %s for the %s.\n", text::plain_line(texts.save).c_str(), texts.on.c_str());
  }
  return report.findings.modes.empty() ? 1 : 0;
}
}  // namespace

std::optional<std::string> show_taps(const dashboard::DashboardSettings& window, const std::string& device, const std::optional<std::string>& file, int flutes) {
  std::filesystem::path keep_in = file.value_or("");
  if (keep_in.empty())
    if (const auto data = journal::data_folder()) {
      journal::make_private_folder(*data);
      keep_in = *data / "taps.toml";
    }
  std::unique_ptr<capture::Source> microphone;
  try {
    microphone = std::make_unique<capture::Microphone>(capture::MicrophoneSettings{.device = device, .held_back_s = kHeldBackS});
  } catch (const std::exception& failure) {  // no reason to close the program that one came from
    microphone = std::make_unique<NoSource>(failure.what());
  }
  {
    live::TapBench bench({.flutes = flutes, .file = keep_in}, std::move(microphone));
    dashboard::run_taps(window, {[&](live::TapState& state) { return bench.poll(state); }, [&](const live::TapCommand& command) { return bench.send(command); }});
  }
  if (keep_in.empty() || !std::filesystem::exists(keep_in)) return file;
  if (!file) journal::make_private_file(keep_in);
  try {
    return setup::load_taps(keep_in).empty() ? file : std::optional(keep_in.string());
  } catch (const std::exception&) {  // the screen has said so
    return file;
  }
}

void add_tap(CLI::App& app, std::function<int()>& run) {
  auto texts = std::make_shared<TapTexts>();
  auto* command = app.add_subcommand("tap", "Natural frequencies and damping from hammer taps on a stopped tool or on a part in its hold");
  std::string cautions = "Before a tap:\n";
  for (const auto& caution : tap_cautions()) cautions += "  " + caution + "\n";
  command->footer(cautions + "Examples: hushmill tap tool.wav --flutes 4\n          hushmill tap --source microphone --for tool --save setup.toml");
  command->add_option("file", texts->file, "A recording of taps, 8 to 192 kHz, some quiet before the first")->type_name("FILE");
  command->add_option("--source", texts->source, "microphone, instead of a file")->type_name("DOOR");
  add_microphone_choice(*command, texts->device, texts->channel);
  command->add_option("--taps", texts->taps, "Microphone: end after so many good taps")->type_name("N")->capture_default_str();
  command->add_option("--seconds", texts->seconds, "Microphone: end after so long in any case")->type_name("S")->capture_default_str();
  command->add_option("--for", texts->on, "What was tapped: tool, part or machine")->type_name("WHAT");
  command->add_option("--flutes", texts->flutes, "Also say which speeds are likely quiet for a cutter of so many flutes")->type_name("N");
  command->add_option("--save", texts->save, "Keep the modes in this set-up file; needs --for")->type_name("TOML");
  command->add_flag("--window", texts->window, "Step by step in a window");
  command->add_flag("--cautions-read", texts->start, "With --window: begin at the quiet; the cautions still stand on the screen");
  add_window_options(*command, texts->look);
  command->add_flag("--json", texts->json, "One JSON document on standard output");
  command->callback([texts, command, &run] {
    run = [texts, command] {
      if (!texts->file.empty()) refuse_idle(*command, {"--device", "--taps", "--seconds"}, "--source microphone instead of a file");
      if (texts->window) refuse_idle(*command, {"--taps", "--seconds", "--json"}, "the terminal instead of --window");
      if (!texts->window) {
        refuse_idle(*command, {"--cautions-read"}, "--window");
        refuse_idle_groups(*command, {kWindowGroup}, "--window");
      }
      return hear(*texts);
    };
  });
}

}  // namespace hushmill::app
