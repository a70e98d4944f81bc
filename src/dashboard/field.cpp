#include "dashboard/field.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "cutting/speeds.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr std::array kInfos{
    FieldInfo{Field::programmed, "Programmed", "rev/min", "rev/min", 10, 200000, false, false, 1},
    FieldInfo{Field::override_percent, "Override", "%", "%", 1, 400, false, false, 1},
    FieldInfo{Field::flutes, "Flutes", "", "", 1, 64, false, true, 0},
    FieldInfo{Field::diameter, "Diameter", "mm", "in", 0.01, 2000, true, false, 3},
    FieldInfo{Field::depth, "Depth", "mm", "in", 0.001, 500, true, false, 3},
    FieldInfo{Field::width, "Width", "mm", "in", 0.001, 2000, true, false, 3},
    FieldInfo{Field::milling, "Milling", "", "", 0, 0, true, false, 0},
    FieldInfo{Field::feed, "Feed", "mm/min", "in/min", 0.01, 1000000, true, false, 2},
    FieldInfo{Field::spindle_least, "Spindle least", "rev/min", "rev/min", 1, 200000, true, false, 0},
    FieldInfo{Field::spindle_limit, "Spindle limit", "rev/min", "rev/min", 1, 200000, true, false, 0},
    FieldInfo{Field::tool_limit, "Tool limit", "rev/min", "rev/min", 1, 200000, true, false, 0},
    FieldInfo{Field::knob_step, "Knob step", "%", "%", 0.1, 50, false, false, 1},
    FieldInfo{Field::damping, "Damping ratio", "", "", 0.0005, 0.5, true, false, 4},
    FieldInfo{Field::rig_speed, "Speed", "rev/min", "rev/min", 10, 60000, false, false, 0},
    FieldInfo{Field::rig_depth, "Depth", "mm", "in", 0, 20, false, false, 3},
    FieldInfo{Field::rig_width, "Width", "mm", "in", 0.05, 50, false, false, 3},
    FieldInfo{Field::rig_feed, "Feed/tooth", "mm", "in", 0.005, 1, false, false, 4},
};

constexpr std::array kCard{
    Field::programmed, Field::override_percent, Field::flutes, Field::diameter,      Field::depth,
    Field::width,      Field::milling,          Field::feed,   Field::spindle_least, Field::spindle_limit,
    Field::tool_limit, Field::knob_step,        Field::damping};
constexpr std::array kRig{Field::rig_speed, Field::rig_depth, Field::rig_width, Field::rig_feed};

bool is_length(Field field) noexcept { return std::string_view(info(field).unit) != info(field).inch_unit; }

double factor(Field field, Units units) noexcept {
  return units == Units::inch && is_length(field) ? 1 / kMmPerInch : 1;
}

int decimals(Field field, Units units) noexcept {
  return info(field).decimals + (units == Units::inch && is_length(field) ? 1 : 0);
}

std::optional<double> value_of(Field field, const live::CutCard& card) {
  switch (field) {
    case Field::programmed:
      return card.programmed_rpm;
    case Field::override_percent:
      return card.override_percent;
    case Field::flutes:
      return card.flutes;
    case Field::diameter:
      return card.diameter_mm;
    case Field::depth:
      return card.depth_mm;
    case Field::width:
      return card.radial_mm;
    case Field::feed:
      return card.feed_mm_min;
    case Field::spindle_least:
      return card.min_rpm;
    case Field::spindle_limit:
      return card.max_rpm;
    case Field::tool_limit:
      return card.tool_max_rpm;
    case Field::knob_step:
      return card.knob_step_percent;
    case Field::damping:
      return card.damping_ratio;
    default:
      return std::nullopt;
  }
}

}  // namespace

double value_of(Field field, const rig::RigControls& controls) {
  switch (field) {
    case Field::rig_depth:
      return controls.depth_mm;
    case Field::rig_width:
      return controls.radial_mm;
    case Field::rig_feed:
      return controls.feed_per_tooth_mm;
    default:
      return controls.spindle_rpm;
  }
}

namespace {

void put(Field field, std::optional<double> value, live::CutCard& card) {
  switch (field) {
    case Field::programmed:
      card.programmed_rpm = *value;
      break;
    case Field::override_percent:
      card.override_percent = *value;
      break;
    case Field::flutes:
      card.flutes = static_cast<int>(*value);
      break;
    case Field::diameter:
      card.diameter_mm = value;
      break;
    case Field::depth:
      card.depth_mm = value;
      break;
    case Field::width:
      card.radial_mm = value;
      break;
    case Field::feed:
      card.feed_mm_min = value;
      break;
    case Field::spindle_least:
      card.min_rpm = value;
      break;
    case Field::spindle_limit:
      card.max_rpm = value;
      break;
    case Field::tool_limit:
      card.tool_max_rpm = value;
      break;
    case Field::knob_step:
      card.knob_step_percent = *value;
      break;
    case Field::damping:
      card.damping_ratio = value;
      break;
    default:
      break;
  }
}

/// The typed text without gaps; a plain minus for the typographic one.
std::string tidied(std::string_view typed) {
  std::string text(typed);
  for (const std::string& gap : {std::string(kThinGap), std::string(" ")}) {
    for (auto at = text.find(gap); at != std::string::npos; at = text.find(gap)) text.erase(at, gap.size());
  }
  if (text.rfind(kMinus, 0) == 0) text.replace(0, std::string_view(kMinus).size(), "-");
  return text;
}

/// What was typed, short enough that the rest of the line is not lost.
std::string in_short(const std::string& text) {
  constexpr std::size_t kMost = 12;
  return text.size() <= kMost ? text : text.substr(0, kMost) + "\xE2\x80\xA6";
}

/// "1/2" and "1 3/8", as inches are written; none for anything else.
std::optional<double> fraction_from(std::string_view typed) {
  const auto slash = typed.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  const auto whole_number = [](std::string_view text) -> std::optional<double> {
    int value = 0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    return error == std::errc() && end == text.data() + text.size() && value >= 0 ? std::optional<double>(value) : std::nullopt;
  };
  auto top_text = typed.substr(0, slash);
  std::optional<double> ones = 0.0;
  if (const auto gap = top_text.find(' '); gap != std::string_view::npos) {
    ones = whole_number(top_text.substr(0, gap));
    top_text.remove_prefix(gap + 1);
  }
  const auto top = whole_number(top_text), below = whole_number(typed.substr(slash + 1));
  if (!ones || !top || !below || !(*below > 0)) return std::nullopt;
  return *ones + *top / *below;
}

std::string range_words(const FieldInfo& what, double scale, int shown_decimals) {
  return trimmed(what.least * scale, std::max(shown_decimals, 4)) + " to " + trimmed(what.most * scale, shown_decimals);
}

/// The typed number in metric units, none for an empty optional field, or what is wrong.
std::variant<std::optional<double>, BadEntry> parsed(Field field, std::string_view typed, Units units) {
  const FieldInfo& what = info(field);
  const double scale = factor(field, units);
  const std::string unit = *unit_of(field, units) ? std::string(" ") + unit_of(field, units) : std::string();
  const std::string right = range_words(what, scale, decimals(field, units)) + unit;
  const std::string text = tidied(typed);
  if (text.empty()) {
    if (what.optional) return std::optional<double>();
    return BadEntry{std::string(what.name) + " is empty; " + right + " would be right"};
  }
  if (text.find(',') != std::string::npos) {
    return BadEntry{std::string(what.name) + " '" + in_short(text) + "': write it without a comma, like 1200 or 1.5"};
  }
  double value = 0;
  if (const auto fraction = fraction_from(typed)) {
    value = *fraction;
  } else {
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) {
      return BadEntry{std::string(what.name) + " '" + in_short(text) + "' is not a number; " + right + " would be right"};
    }
  }
  value /= scale;
  // A hair of slack: 0.00039 in is 0.01 mm when rounded.
  if (value < what.least * (1 - 1e-6) || value > what.most * (1 + 1e-6)) {
    return BadEntry{std::string(what.name) + " " + in_short(text) + " is out of range; " + right + " would be right"};
  }
  if (what.whole && value != std::floor(value)) {
    return BadEntry{std::string(what.name) + " " + in_short(text) + " is not whole; a whole number would be right"};
  }
  return std::optional(value);
}

Words milling_word(const std::optional<advise::Milling>& milling) {
  if (!milling) return {};
  return *milling == advise::Milling::climb ? "climb" : "conventional";
}

std::variant<live::CutCard, BadEntry> with_milling(std::string_view typed, live::CutCard card) {
  const std::string text = tidied(typed);
  const auto starts = [&](std::string_view word) { return !text.empty() && word.substr(0, text.size()) == text; };
  if (text.empty()) {
    card.milling.reset();
  } else if (starts("climb")) {
    card.milling = advise::Milling::climb;
  } else if (starts("conventional")) {
    card.milling = advise::Milling::conventional;
  } else {
    return BadEntry{"Milling '" + text + "'; climb or conventional would be right"};
  }
  return card;
}

}  // namespace

std::span<const Field> card_fields() noexcept { return kCard; }
std::span<const Field> rig_fields() noexcept { return kRig; }
const FieldInfo& info(Field field) noexcept { return kInfos[static_cast<std::size_t>(field)]; }
const char* unit_of(Field field, Units units) noexcept {
  return units == Units::inch ? info(field).inch_unit : info(field).unit;
}

Words value_text(Field field, const live::CutCard& card, Units units) {
  if (field == Field::milling) return milling_word(card.milling);
  const auto value = value_of(field, card);
  return value ? trimmed(*value * factor(field, units), decimals(field, units)) : Words();
}

Words value_text(Field field, const rig::RigControls& controls, Units units) {
  return trimmed(value_of(field, controls) * factor(field, units), decimals(field, units));
}

Spellings value_spellings(Field field, const live::CutCard& card, Units units) {
  if (field == Field::milling) {
    return card.milling ? Spellings{milling_word(card.milling)} : Spellings();
  }
  const auto value = value_of(field, card);
  return value ? spellings(*value * factor(field, units), decimals(field, units)) : Spellings();
}

Spellings value_spellings(Field field, const rig::RigControls& controls, Units units) {
  return spellings(value_of(field, controls) * factor(field, units), decimals(field, units));
}

std::string editable_text(Field field, const live::CutCard& card, Units units) {
  return tidied(value_text(field, card, units));
}
std::string editable_text(Field field, const rig::RigControls& controls, Units units) {
  return tidied(value_text(field, controls, units));
}

std::variant<live::CutCard, BadEntry> with_entry(Field field, std::string_view typed, const live::CutCard& card,
                                                 Units units) {
  if (field == Field::milling) return with_milling(typed, card);
  auto value = parsed(field, typed, units);
  if (auto* bad = std::get_if<BadEntry>(&value)) return *bad;
  live::CutCard changed = card;
  put(field, std::get<std::optional<double>>(value), changed);
  if (changed.min_rpm && changed.max_rpm && *changed.min_rpm >= *changed.max_rpm) {
    return BadEntry{std::string(info(field).name) + " " + tidied(typed) + ": the least speed must lie below the limit"};
  }
  const double entered_rpm = changed.entered_rpm();
  if (entered_rpm < 10 || entered_rpm > 200000) {
    return BadEntry{std::string(info(field).name) + " " + tidied(typed) + " makes " + grouped(entered_rpm) +
                    " rev/min; 10 to 200 000 would be right"};
  }
  return changed;
}

std::variant<rig::RigControls, BadEntry> with_entry(Field field, std::string_view typed,
                                                    const rig::RigControls& controls, Units units) {
  auto value = parsed(field, typed, units);
  if (auto* bad = std::get_if<BadEntry>(&value)) return *bad;
  rig::RigControls changed = controls;
  const double number = *std::get<std::optional<double>>(value);
  switch (field) {
    case Field::rig_speed:
      changed.spindle_rpm = number;
      break;
    case Field::rig_depth:
      changed.depth_mm = number;
      break;
    case Field::rig_width:
      changed.radial_mm = number;
      break;
    case Field::rig_feed:
      changed.feed_per_tooth_mm = number;
      break;
    default:
      break;
  }
  return changed;
}

std::optional<double> surface_speed_m_min(const live::CutCard& card) {
  if (!card.diameter_mm) return std::nullopt;
  return cutting::surface_speed_m_min(*card.diameter_mm, card.entered_rpm());
}

std::optional<double> feed_per_tooth_mm(const live::CutCard& card) {
  if (!card.feed_mm_min || card.flutes < 1 || !(card.programmed_rpm > 0)) return std::nullopt;
  return cutting::chip_load(*card.feed_mm_min, card.flutes, card.programmed_rpm);
}

double chip_load_factor(const live::CutCard& card) noexcept { return 100 / card.override_percent; }

}  // namespace hushmill::dashboard
