#include "dashboard/microphone_view.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

using listen::Warning;

constexpr double kBarFromDbfs = -60;
constexpr double kClearOfClippingDbfs = -6;

double bar(double dbfs) {
  return std::isfinite(dbfs) ? std::clamp((dbfs - kBarFromDbfs) / -kBarFromDbfs, 0.0, 1.0) : 0.0;
}

const char* title_of(live::SourceKind kind) {
  switch (kind) {
    case live::SourceKind::microphone:
      return "Microphone";
    case live::SourceKind::recording:
      return "Recording";
    case live::SourceKind::rig:
      break;
  }
  return "Simulated machine";
}

Words rate_text(double rate_hz) { return trimmed(rate_hz / 1000, 3) + kThinGap + "kHz"; }

}  // namespace

Words warning_words(Warning warning, const live::State& state) {
  switch (warning) {
    case Warning::bad_samples:
      return grouped(static_cast<double>(state.snapshot.bad_samples)) + " samples were no numbers; silenced.";
    case Warning::clipped:
      return "Clipped: turn the input level down.";
    case Warning::silent:
      return "Silence only: wrong input, or muted?";
    case Warning::no_room:
      return "Too little room before the cut: run a second in air.";
    case Warning::speed_not_heard:
      return "Spindle speed not heard; using the entered one.";
    case Warning::speed_differs:
      return state.snapshot.measured_rpm
                 ? "Sounds like " + grouped(*state.snapshot.measured_rpm) + ", not the entered speed."
                 : Words("The sound says another speed than entered.");
    case Warning::other_speed_fits:
      return state.other_fit ? "Sounds like " + grouped(state.other_fit->spindle_rpm) + " with " + std::to_string(state.other_fit->flutes) +
                                   " flutes: check the card."
                             : Words("Another speed or flute count fitted better for a while.");
    case Warning::unexplained_tone:
      return "A tone that may be chatter; undecided.";
    case Warning::high_lobe:
      return "Many waves per tooth: speed alone buys little.";
    case Warning::faint:
      return "Nearly dead: level up, unmute, or the right microphone.";
    case Warning::dc_offset:
      return "Offset from zero: try another input or cable.";
    case Warning::mains_hum:
      return "Mains hum: run on battery, or try another input.";
    case Warning::dropped_samples:
      return "Pieces missing or doubled: close other programs.";
    case Warning::one_sided:
      return "One channel is dead, the other is not: choose the live one.";
    case Warning::sides_cancel:
      return "Left and right cancel: listen to one of them.";
    case Warning::rate_mismatch:
      return "Wrong sample rate: set the device to 48 kHz.";
    case Warning::narrow_band:
      return "Sounds like a headset link: use a wired microphone.";
    case Warning::noise_suppression:
      return "Noise suppression eats chatter: switch it off.";
    case Warning::automatic_gain:
      return "Automatic gain is on: switch it off.";
  }
  return {};
}

namespace {

Words clipped_words(const live::State& state) {
  return state.source.kind == live::SourceKind::microphone ? warning_words(Warning::clipped, state) : Words("Clipped: the sound is cut off at full scale.");
}

}  // namespace

MicrophoneView prepare_microphone(const live::State& state) {
  MicrophoneView view;
  const listen::Snapshot& now = state.snapshot;
  view.title = title_of(state.source.kind);
  view.level = bar(now.level_dbfs);
  view.peak = bar(now.peak_dbfs);
  const auto warned = [&](Warning warning) {
    return std::find(state.warnings.begin(), state.warnings.end(), warning) != state.warnings.end();
  };
  const bool clipped = now.clipped_samples > 0 || warned(Warning::clipped);
  const bool over = clipped && now.peak_dbfs < kClearOfClippingDbfs;  // it clipped earlier, and the level is right now
  view.level_tone = now.peak_dbfs > -0.1 ? Tone::danger : now.peak_dbfs > -3 || (clipped && !over) ? Tone::abnormal : Tone::normal;
  view.level_text = now.level_dbfs < -150 ? "no sound yet" : in_db(now.level_dbfs);
  if (now.level_dbfs >= -150 && !clipped && now.bad_samples == 0 && state.source.lost_samples == 0) {
    view.level_text += view.level_tone == Tone::normal ? ", clean" : ", loud";
  }

  if (state.source.kind == live::SourceKind::microphone && !state.source.running) {  // the last level is not the present one
    view.level = view.peak = 0;
    view.level_tone = Tone::abnormal;
    view.level_text = "no sound";
  }

  if (!state.source.trouble.empty()) view.lines.push_back({state.source.trouble, Tone::danger});
  if (state.source.lost_samples > 0) {
    view.lines.push_back({grouped(static_cast<double>(state.source.lost_samples)) + " samples lost", Tone::abnormal});
  }
  if (clipped && !over) view.lines.push_back({clipped_words(state), Tone::abnormal});
  for (const Warning warning : state.warnings)
    if (warning != Warning::clipped) view.lines.push_back({warning_words(warning, state), Tone::abnormal});
  if (over) view.lines.push_back({"It clipped earlier; the level is right now.", Tone::neutral});
  const Words name =
      state.source.kind == live::SourceKind::rig ? Words("no sound card needed") : Words(state.source.name);
  Words door = name.empty() ? Words() : name + kDot;
  door += rate_text(state.source.sample_rate_hz);
  view.lines.push_back({door, Tone::neutral});
  view.lines.push_back({now.room_known ? "Room known" : "Room not known yet", Tone::neutral});
  for (const listen::Peak& peak : now.peaks) {
    if (peak.role == listen::PeakRole::foreign) {
      view.lines.push_back({in_hz(peak.hz) + ": does not belong to the cut", Tone::neutral});
      break;
    }
  }
  return view;
}

}  // namespace hushmill::dashboard
