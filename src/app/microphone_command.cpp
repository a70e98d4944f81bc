#include "app/microphone_command.hpp"

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <memory>
#include <numbers>
#include <string>
#include <thread>
#include <vector>

#include "app/doors.hpp"
#include "app/idle_options.hpp"
#include "app/json.hpp"
#include "app/option_text.hpp"
#include "app/warning_texts.hpp"
#include "capture/loudspeaker.hpp"
#include "capture/microphone.hpp"
#include "text/outside_text.hpp"
#include "capture/recording.hpp"
#include "listen/microphone_check.hpp"

namespace hushmill::app {

namespace {
using Clock = std::chrono::steady_clock;

constexpr double kCheckBlockS = 0.02;
constexpr double kToneAfterS = 10;   // time for three claps before Hushmill plays its tone
constexpr double kPlayedS = 5;
constexpr double kPlayedPeak = 0.25;

struct MicrophoneTexts {
  std::string file, source, device, channel, tone_hz = "1000";
  bool no_tone = false, json = false;
};

double tenths(double value) { return std::round(value * 10) / 10; }

listen::Warning warning_of(capture::SidesFault fault) {
  return fault == capture::SidesFault::one_sided ? listen::Warning::one_sided : listen::Warning::sides_cancel;
}

// Plays the tone a little ahead of the clock, with soft ends.
class TonePlayer {
 public:
  TonePlayer(double rate_hz, double tone_hz) : rate_hz_(rate_hz), tone_hz_(tone_hz) {
    try {
      speaker_ = std::make_unique<capture::Loudspeaker>(rate_hz);
      speaker_->set_volume(1);
    } catch (const std::exception& failure) {
      trouble_ = failure.what();
    }
  }
  bool can_play() const noexcept { return speaker_ != nullptr; }
  const std::string& trouble() const noexcept { return trouble_; }
  void play_until(double t_s) {
    const auto due = static_cast<std::uint64_t>(std::min(t_s + 0.05, kPlayedS) * rate_hz_);
    block_.clear();
    for (; played_ < due; ++played_) {
      const double t = static_cast<double>(played_) / rate_hz_;
      const double soft = std::clamp(std::min(t, kPlayedS - t) / 0.02, 0.0, 1.0);
      block_.push_back(static_cast<float>(kPlayedPeak * soft * std::sin(2 * std::numbers::pi * tone_hz_ * t)));
    }
    if (!block_.empty()) speaker_->push(block_);
  }

 private:
  double rate_hz_, tone_hz_;
  std::unique_ptr<capture::Loudspeaker> speaker_;
  std::string trouble_;
  std::uint64_t played_ = 0;
  std::vector<float> block_;
};

Json check_json(const std::string& name, double rate_hz, const listen::CheckState& state) {
  Json faults = Json::array();
  for (const auto& fault : state.faults)
    faults.push_back({{"code", listen::word(fault.code)},
                      {"text", warning_text(fault.code, {})},
                      {"since_s", tenths(fault.since_s)},
                      {"until_s", tenths(fault.until_s)},
                      {"value", std::round(fault.value * 1e4) / 1e4}});
  Json tone = nullptr;
  if (state.tone)
    tone = {{"hz", tenths(state.tone->hz)}, {"lasted_s", tenths(state.tone->lasted_s)}, {"dbfs", tenths(state.tone->dbfs)},
            {"change_db", tenths(state.tone->change_db)}};
  return Json{{"source", name},
              {"sample_rate_hz", rate_hz},
              {"heard_s", tenths(state.heard_s)},
              {"result", listen::word(state.result)},
              {"room_dbfs", tenths(state.room_dbfs)},
              {"loudest_dbfs", tenths(state.loudest_dbfs)},
              {"claps", state.claps},
              {"tone", tone},
              {"steady_tones_tried", state.tone_tried},
              {"faults", faults}};
}

std::string check_text(const listen::CheckState& state) {
  std::string text;
  if (state.room_dbfs > -150) text += fmt::format("Room     {:.0f} dBFS\n", state.room_dbfs);
  text += fmt::format("Loudest  {:.0f} dBFS\nClaps    {}\n", state.loudest_dbfs, state.claps);
  if (state.tone)
    text += fmt::format("Tone     {:.1f} Hz for {:.1f} s, {:.0f} dBFS, changed by {:+.1f} dB\n", state.tone->hz, state.tone->lasted_s, state.tone->dbfs,
                        state.tone->change_db);
  for (const auto& fault : state.faults) text += "Fault: " + warning_text(fault.code, {}) + "\n";
  if (state.result == listen::CheckResult::pass)
    text += state.tone_tried ? "PASS: this microphone can be trusted with chatter.\n"
                             : "PASS as far as heard; whether steady tones get through was not tried: hold a tone for five seconds.\n";
  if (state.result == listen::CheckResult::fault) text += "FAULT\n";
  if (state.result == listen::CheckResult::unfinished)
    text += "UNFINISHED: no clap was heard after the room; clap closer, or check that the right microphone is on.\n";
  return text;
}

void guide(const listen::CheckState& before, const listen::CheckState& now, bool plays) {
  if (now.stage != before.stage && now.stage == listen::CheckStage::sounds)
    std::printf("Room heard, %.0f dBFS. Now clap three times%s\n", now.room_dbfs,
                plays ? "; then Hushmill plays a tone." : ", then hold a steady tone for five seconds (a phone's tone, a whistle).");
  if (now.claps > before.claps && now.claps <= listen::MicrophoneCheck::kClaps) std::printf("Clap %d.\n", now.claps);
  if (now.stage != before.stage && now.stage == listen::CheckStage::quiet_after) std::puts("Tone heard. Quiet again, please: three seconds.");
  std::fflush(stdout);
}

int check(const MicrophoneTexts& texts) {
  if (texts.file.empty() && !texts.source.empty() && texts.source != "microphone")
    throw UsageError("--source is '" + texts.source.substr(0, 60) + "'; microphone, or a sound file instead of it, would be right");
  if (!texts.file.empty() && !texts.source.empty()) throw UsageError("--source and a file exclude each other; one of them would be right");
  const double tone_hz = parse_number("--tone-hz", texts.tone_hz, 200, 5000);
  std::unique_ptr<capture::Source> source;
  const bool live = texts.file.empty();
  if (live)
    source = std::make_unique<capture::Microphone>(
        capture::MicrophoneSettings{.device = texts.device, .channel = texts.channel.empty() ? capture::Channel::left : parse_channel(texts.channel)});
  else
    source = std::make_unique<capture::Recording>(texts.file, texts.channel.empty() ? capture::Channel::mix : parse_channel(texts.channel));
  const double rate = source->sample_rate_hz();
  listen::MicrophoneCheck check({.sample_rate_hz = rate, .tone_hz = tone_hz, .longest_s = live ? 30.0 : 600.0});
  std::unique_ptr<TonePlayer> player;
  if (live && !texts.no_tone) player = std::make_unique<TonePlayer>(rate, tone_hz);
  const bool plays = player && player->can_play();
  if (live && !texts.json) {
    std::printf("Checking %s at %.0f Hz. Spindle stopped, and quiet, please: three seconds.\n", source->name().c_str(), rate);
    if (player && !plays) std::printf("Hushmill cannot play the tone itself (%s).\n", text::plain_line(player->trouble()).c_str());
    std::fflush(stdout);
  }
  std::vector<float> block(static_cast<std::size_t>(kCheckBlockS * rate));
  auto before = check.state();
  while (!check.over()) {
    const std::size_t n = source->read(block);
    if (source->take_gap()) check.note(listen::Warning::dropped_samples);
    if (n == 0 && source->ended()) break;
    check.process(std::span<const float>(block).first(n));
    if (!live) continue;
    const auto now = check.state();
    if (!texts.json) guide(before, now, plays);
    before = now;
    const double since_room_s = now.heard_s - listen::MicrophoneCheck::kRoomS;
    if (plays && since_room_s >= kToneAfterS) player->play_until(since_room_s - kToneAfterS);
  }
  if (const auto fault = source->sides_fault(); fault != capture::SidesFault::none) check.note(warning_of(fault));
  check.finish();
  if (const auto trouble = source->trouble(); !trouble.empty()) std::fprintf(stderr, "hushmill: %s\n", text::plain_line(trouble).c_str());
  const auto state = check.state();
  std::fputs(texts.json ? (dump(check_json(source->name(), rate, state), 2) + "\n").c_str() : check_text(state).c_str(), stdout);
  return state.result == listen::CheckResult::pass ? 0 : 1;
}
}  // namespace

void add_microphone(CLI::App& app, std::function<int()>& run) {
  auto texts = std::make_shared<MicrophoneTexts>();
  auto* command = app.add_subcommand("microphone", "Check a microphone: room, three claps, a steady tone; ends in a pass or a named fault");
  command->footer("Examples: hushmill microphone\n          hushmill microphone check.wav --json");
  command->add_option("file", texts->file, "A recording of such a check instead of the microphone: three seconds of room, then claps and a tone")->type_name("FILE");
  command->add_option("--source", texts->source, "microphone (what is checked without a file)")->type_name("DOOR");
  add_microphone_choice(*command, texts->device, texts->channel);
  command->add_option("--tone-hz", texts->tone_hz, "Frequency of the steady tone")->type_name("HZ")->capture_default_str();
  command->add_flag("--no-tone", texts->no_tone, "Play no tone; somebody else does");
  command->add_flag("--json", texts->json, "One JSON document on standard output");
  command->callback([texts, command, &run] {
    run = [texts, command] {
      if (!texts->file.empty()) refuse_idle(*command, {"--device", "--no-tone"}, "the microphone instead of a file");
      return check(*texts);
    };
  });
}

}  // namespace hushmill::app
