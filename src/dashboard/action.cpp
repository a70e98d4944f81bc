#include "dashboard/action.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "dashboard/field.hpp"
#include "dashboard/move.hpp"

namespace hushmill::dashboard {
namespace {

constexpr std::array kLines{
    KeyLine{Action::knob_up, "Up", "", "turn the override one step up", false},
    KeyLine{Action::knob_down, "Down", "", "turn the override one step down", false},
    KeyLine{Action::next_field, "Tab", "", "edit the next field of the cut; Enter takes it, Esc leaves it", false},
    KeyLine{Action::undo, "Z", "", "take the last change of the cut back", false},
    KeyLine{Action::units, "U", "", "millimetres or inches", false},
    KeyLine{Action::look_room, "1", "", "look from across the room", false},
    KeyLine{Action::look_bench, "2", "", "look at the bench", false},
    KeyLine{Action::look_teach, "3", "", "look for teaching", false},
    KeyLine{Action::freeze, "F", "Pause", "hold the pictures still; the verdict goes on", false},
    KeyLine{Action::logarithmic, "L", "", "frequency scale linear or logarithmic", false},
    KeyLine{Action::closer, "+", "=", "frequencies closer; the wheel does so at the mouse", false},
    KeyLine{Action::wider, "-", "", "wider again; Home shows the whole range", false},
    KeyLine{Action::whole_range, "Home", "", "whole frequency range again", false},
    KeyLine{Action::range_down, ",", "", "lower frequencies; or drag", false},
    KeyLine{Action::range_up, ".", "", "higher frequencies; or drag", false},
    KeyLine{Action::read_line, "E", "", "examine the next line: frequency, level, tooth, note", false},
    KeyLine{Action::theme, "T", "", "dark or light", false},
    KeyLine{Action::full_screen, "F11", "", "full screen", false},
    KeyLine{Action::cut_in_out, "Space", "", "tool into the cut or out of it", true},
    KeyLine{Action::deeper, "Right", "", "cut a tenth of a millimetre deeper", true},
    KeyLine{Action::shallower, "Left", "", "cut a tenth of a millimetre less deep", true},
    KeyLine{Action::hear, "M", "", "hear the simulated cut, or not", true},
    KeyLine{Action::mark_pass, "P", "", "mark a lap or pass: at its beginning and at its end", false},
    KeyLine{Action::say_place, "W", "", "what is being cut: wall, corner, slot, entry, floor", false},
    KeyLine{Action::take_heard, "Y", "", "take the speed that is heard instead of the entered one", false},
    KeyLine{Action::check_microphone, "C", "", "check the microphone, or leave the check", false},
    KeyLine{Action::keep_minute, "K", "", "keep the last minute of sound", false},
    KeyLine{Action::record_session, "R", "", "record the session, or end the recording", false},
    KeyLine{Action::hold_minute, "H", "", "hold the last minute in memory, or not", false},
    KeyLine{Action::drop_sound, "Delete", "", "delete the sound kept of this session; asks once more", false},
    KeyLine{Action::next_tool, "N", "", "the next tool of the job, or the one that the sound fits", false},
    KeyLine{Action::cuts_on_file, "S", "", "take a cut from a file, or write this one down", false},
    KeyLine{Action::open_kept, "O", "", "open a recording or a kept session", false},
    KeyLine{Action::look_back, "B", "", "look back; so does a click on the session's strip", false},
    KeyLine{Action::other_source, "G", "", "open another microphone, recording or the simulator", false},
    KeyLine{Action::keys, "F1", "?", "show or hide these keys", false},
    KeyLine{Action::lessons, "I", "", "lessons, with a simulated cut; Esc there comes back", false},
    KeyLine{Action::taps, "X", "", "tap test; Esc there comes back", false},
    KeyLine{Action::close, "Ctrl+Q", "", "close the program", false},
};

}  // namespace

std::span<const KeyLine> key_lines() noexcept { return kLines; }

std::optional<Action> action_for(const std::string& key) {
  for (const KeyLine& line : kLines) {
    if (!key.empty() && (key == line.key || key == line.other)) return line.action;
  }
  return std::nullopt;
}

std::vector<live::Command> change_card(const live::State& state, const live::CutCard& card) {
  std::vector<live::Command> commands{live::ChangeCard{card}};
  if (!state.rig) return commands;
  rig::RigControls controls = *state.rig;
  controls.spindle_rpm = card.entered_rpm();
  if (card.depth_mm && card.depth_mm != state.card.depth_mm) controls.depth_mm = *card.depth_mm;
  if (card.radial_mm && card.radial_mm != state.card.radial_mm) controls.radial_mm = *card.radial_mm;
  if (card.feed_mm_min != state.card.feed_mm_min) {
    if (const auto feed_mm = feed_per_tooth_mm(card)) controls.feed_per_tooth_mm = *feed_mm;
  }
  commands.emplace_back(live::TurnRig{controls});
  return commands;
}

std::vector<live::Command> turn_knob(const live::State& state, int steps) {
  live::CutCard card = state.card;
  card.override_percent += steps * card.knob_step_percent;
  const auto upper = upper_limit(card);
  const double rpm = card.entered_rpm();
  const bool allowed = card.override_percent >= 1 && card.override_percent <= 400 && rpm >= 10 && rpm <= 200000;
  // Out of a forbidden zone one may always step back; into it, never.
  if (!allowed || (steps > 0 && upper && rpm > upper->rpm * 1.0001)) return {};
  if (steps < 0 && card.min_rpm && rpm < *card.min_rpm * 0.9999) return {};
  return change_card(state, card);
}

live::TagPlace next_place(const live::State& state) noexcept {
  if (!state.place) return {trial::kPlaces.front()};
  const auto at = std::find(trial::kPlaces.begin(), trial::kPlaces.end(), *state.place);
  return at == trial::kPlaces.end() || at + 1 == trial::kPlaces.end() ? live::TagPlace{} : live::TagPlace{*(at + 1)};
}

std::vector<live::Command> turn_rig(const live::State& state, const rig::RigControls& controls) {
  std::vector<live::Command> commands{live::TurnRig{controls}};
  live::CutCard card = state.card;
  if (state.rig && controls.spindle_rpm != state.rig->spindle_rpm && card.programmed_rpm > 0) {
    card.override_percent = 100 * controls.spindle_rpm / card.programmed_rpm;
  }
  // Only what was turned: a card that says nothing of the depth is not another cut because the tool was taken out.
  if (controls.depth_mm > 0 && (!state.rig || controls.depth_mm != state.rig->depth_mm)) card.depth_mm = controls.depth_mm;
  if (!state.rig || controls.radial_mm != state.rig->radial_mm) card.radial_mm = controls.radial_mm;
  const bool changed = card.override_percent != state.card.override_percent || card.depth_mm != state.card.depth_mm ||
                       card.radial_mm != state.card.radial_mm;
  if (changed) commands.emplace_back(live::ChangeCard{card});
  return commands;
}

}  // namespace hushmill::dashboard
