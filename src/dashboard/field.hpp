// The editable fields of the cut card and of the simulated machine's knobs: how each is named, shown, checked and
// stepped. Pure. One table for both, so that a field has one name, one range and one unit wherever it appears.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>

#include "dashboard/units.hpp"
#include "dashboard/words.hpp"
#include "live/cut_card.hpp"
#include "rig/rig.hpp"

namespace hushmill::dashboard {

enum class Field {
  programmed,
  override_percent,
  flutes,
  diameter,
  depth,
  width,
  milling,
  feed,
  spindle_least,
  spindle_limit,
  tool_limit,
  knob_step,
  damping,
  rig_speed,
  rig_depth,
  rig_width,
  rig_feed
};

struct FieldInfo {
  Field field;
  const char* name;       ///< "Programmed speed"
  const char* unit;       ///< metric spelling; empty when there is none
  const char* inch_unit;  ///< "in", "in/min"; same as `unit` where inches do not matter
  double least;
  double most;
  bool optional;  ///< may be left empty
  bool whole;     ///< whole numbers only
  int decimals;   ///< shown at most
};

/// The rows of the cut card, top down.
std::span<const Field> card_fields() noexcept;
/// The knobs of the simulated machine, top down.
std::span<const Field> rig_fields() noexcept;
const FieldInfo& info(Field field) noexcept;
const char* unit_of(Field field, Units units) noexcept;

/// The knob's value in the units of RigControls; the speed for a field that is none of its knobs.
double value_of(Field field, const rig::RigControls& controls);

/// "6 000", "4.5", "climb"; empty when not given.
Words value_text(Field field, const live::CutCard& card, Units units);
Words value_text(Field field, const rig::RigControls& controls, Units units);
/// The same with shorter spellings for narrow places, best first; empty when not given.
Spellings value_spellings(Field field, const live::CutCard& card, Units units);
Spellings value_spellings(Field field, const rig::RigControls& controls, Units units);
/// The same without gaps, as a start for typing.
std::string editable_text(Field field, const live::CutCard& card, Units units);
std::string editable_text(Field field, const rig::RigControls& controls, Units units);

/// One clear line: the field, the value and what would be right.
struct BadEntry {
  std::string text;
};

/// The card with the typed value in its place, or what is wrong with it. Gaps between digits are allowed.
std::variant<live::CutCard, BadEntry> with_entry(Field field, std::string_view typed, const live::CutCard& card,
                                                 Units units);
std::variant<rig::RigControls, BadEntry> with_entry(Field field, std::string_view typed,
                                                    const rig::RigControls& controls, Units units);

/// Derived rows under the card, shown and not edited.
std::optional<double> surface_speed_m_min(const live::CutCard& card);  ///< π·D·n/1000
std::optional<double> feed_per_tooth_mm(const live::CutCard& card);    ///< f/(N·n), both as programmed
/// Feed that the override leaves in feed per minute, as a factor of the chip load at the programmed speed. A speed
/// override alone changes the chip load by this much (trade knowledge: feed per minute stays where it was).
double chip_load_factor(const live::CutCard& card) noexcept;

}  // namespace hushmill::dashboard
