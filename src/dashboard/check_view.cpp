#include "dashboard/check_view.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

using listen::CheckResult;
using listen::CheckStage;
using listen::MicrophoneCheck;

constexpr double kBarFromDbfs = -60;

std::string seconds_left(double whole_s, double gone_s) {
  return grouped(std::max(0.0, std::ceil(whole_s - gone_s))) + kThinGap + "s";
}

}  // namespace

CheckView prepare_check(const live::State& state) {
  CheckView view;
  if (!state.check) return view;
  const listen::CheckState& check = *state.check;
  view.level = std::clamp((check.level_dbfs - kBarFromDbfs) / -kBarFromDbfs, 0.0, 1.0);
  const bool sounds = check.stage == CheckStage::sounds;
  const bool room_done = check.stage != CheckStage::room;

  CheckStep room{"Spindle stopped, quiet for three seconds", {}, !room_done, room_done};
  room.status = check.room_dbfs > -150 ? std::string(in_db(check.room_dbfs)) : !room_done ? seconds_left(MicrophoneCheck::kRoomS, check.stage_s) : "";
  CheckStep claps{"Clap three times, an arm's length away", {}, sounds && check.claps < MicrophoneCheck::kClaps, check.claps >= MicrophoneCheck::kClaps};
  if (room_done) claps.status = grouped(std::min(check.claps, MicrophoneCheck::kClaps)) + " of " + grouped(MicrophoneCheck::kClaps);
  CheckStep tone{"Hold a steady tone for five seconds: 1000 Hz from a phone, or a whistle", {}, sounds && !claps.now, check.tone_tried};
  if (check.tone) tone.status = in_hz(check.tone->hz);
  const bool after = check.stage == CheckStage::quiet_after;
  CheckStep quiet{"Quiet again for three seconds", {}, after, check.stage == CheckStage::over && check.tone_tried};
  if (after) quiet.status = seconds_left(3, check.stage_s);
  view.steps = {room, claps, tone, quiet};

  switch (check.result) {
    case CheckResult::open:
      break;
    case CheckResult::pass:
      view.result = "PASS";
      view.result_tone = Tone::normal;
      view.lines.push_back({check.tone_tried ? "This microphone can be trusted with chatter." : "No steady tone was tried: whether such a tone gets through is not known.",
                            Tone::neutral});
      break;
    case CheckResult::fault:
      view.result = "FAULT";
      view.result_tone = Tone::danger;
      break;
    case CheckResult::unfinished:
      view.result = "UNFINISHED";
      view.result_tone = Tone::abnormal;
      view.lines.push_back({"No clap and no tone was heard: the right microphone, and close enough?", Tone::abnormal});
      break;
  }
  for (const auto& fault : check.faults) view.lines.push_back({warning_words(fault.code, state), Tone::abnormal});
  return view;
}

}  // namespace hushmill::dashboard
