// What a key does. One table serves the keyboard and the card that lists the keys, so neither can forget the other.
// Keys are named by what is printed on them; the window turns its own codes into these.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "live/command.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

enum class Action {
  knob_up,
  knob_down,
  look_room,
  look_bench,
  look_teach,
  freeze,
  logarithmic,
  theme,
  units,
  full_screen,
  undo,
  cut_in_out,
  deeper,
  shallower,
  hear,
  whole_range,
  closer,
  wider,
  range_down,
  range_up,
  read_line,
  next_field,
  mark_pass,
  say_place,
  take_heard,
  check_microphone,
  keep_minute,
  record_session,
  hold_minute,
  drop_sound,
  open_kept,
  look_back,
  next_tool,
  cuts_on_file,
  other_source,
  keys,
  lessons,
  taps,
  close
};

struct KeyLine {
  Action action;
  const char* key;    ///< "Up", "1", "F1"
  const char* other;  ///< a second key for the same, or empty
  const char* words;  ///< what it does
  bool rig_only;
};

std::span<const KeyLine> key_lines() noexcept;
std::optional<Action> action_for(const std::string& key);

/// A changed card. Where the source is the simulated machine its speed, depth, width and feed follow: there the card is
/// the machine's program.
std::vector<live::Command> change_card(const live::State& state, const live::CutCard& card);
/// The knob turned by whole steps. Empty when it would leave the card's limits or 1 to 400 %.
std::vector<live::Command> turn_knob(const live::State& state, int steps);
/// The next kind of place in the list wall, corner, slot, entry, floor, then none again.
live::TagPlace next_place(const live::State& state) noexcept;
/// The simulated machine's controls changed: what the card says of the cut follows, because the person who turns these
/// knobs is the operator, too.
std::vector<live::Command> turn_rig(const live::State& state, const rig::RigControls& controls);

}  // namespace hushmill::dashboard
