#include "app/last_time.hpp"

#include <toml++/toml.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <string_view>

#include "platform/platform.hpp"
#include "live/log.hpp"

namespace hushmill::app {
namespace {

using dashboard::Look;
using live::SourceKind;

template <class Value>
struct Named {
  Value value;
  const char* name;
};
template <class Value>
Named(Value, const char*) -> Named<Value>;  // said, since not every compiler guesses it
constexpr std::array kKinds{Named{SourceKind::microphone, "microphone"}, Named{SourceKind::recording, "recording"},
                            Named{SourceKind::rig, "rig"}};
constexpr std::array kLooks{Named{Look::room, "room"}, Named{Look::bench, "bench"}, Named{Look::teach, "teach"}};

template <class Table, class Value>
std::string name_in(const Table& table, Value value) {
  for (const auto& one : table)
    if (one.value == value) return one.name;
  return {};
}
template <class Table>
auto value_in(const Table& table, std::string_view name) -> std::optional<decltype(table.front().value)> {
  for (const auto& one : table)
    if (name == one.name) return one.value;
  return std::nullopt;
}

/// The optional figures of a card, each with its name in the file and the range that is believed.
struct Figure {
  const char* name;
  std::optional<double> live::CutCard::*value;
  double least, most;
};
constexpr std::array kFigures{Figure{"knob_least_percent", &live::CutCard::knob_min_percent, 1, 500},
                              Figure{"knob_most_percent", &live::CutCard::knob_max_percent, 1, 500},
                              Figure{"diameter_mm", &live::CutCard::diameter_mm, 0.01, 2000},
                              Figure{"width_mm", &live::CutCard::radial_mm, 0.001, 2000},
                              Figure{"depth_mm", &live::CutCard::depth_mm, 0.001, 500},
                              Figure{"feed_mm_min", &live::CutCard::feed_mm_min, 0.01, 1e6},
                              Figure{"spindle_least_rpm", &live::CutCard::min_rpm, 1, 200000},
                              Figure{"spindle_limit_rpm", &live::CutCard::max_rpm, 1, 200000},
                              Figure{"tool_limit_rpm", &live::CutCard::tool_max_rpm, 1, 200000},
                              Figure{"damping_ratio", &live::CutCard::damping_ratio, 0.0005, 0.5}};

std::optional<double> number(const toml::table& table, const char* name, double least, double most) {
  const auto value = table[name].value<double>();
  return value && *value >= least && *value <= most ? value : std::nullopt;
}

live::CutCard card_from(const toml::table& table) {
  live::CutCard card;
  card.programmed_rpm = number(table, "programmed_rpm", 10, 200000).value_or(card.programmed_rpm);
  card.override_percent = number(table, "override_percent", 1, 400).value_or(100);
  card.flutes = static_cast<int>(number(table, "flutes", 1, 64).value_or(card.flutes));
  card.knob_step_percent = number(table, "knob_step_percent", 0.1, 50).value_or(card.knob_step_percent);
  for (const Figure& figure : kFigures) card.*figure.value = number(table, figure.name, figure.least, figure.most);
  const std::string milling = table["milling"].value_or(std::string());
  if (milling == advise::word(advise::Milling::climb)) card.milling = advise::Milling::climb;
  if (milling == advise::word(advise::Milling::conventional)) card.milling = advise::Milling::conventional;
  if (const auto* taps = table["taps"].as_array())
    for (const auto& one : *taps) {
      const auto* tap = one.as_table();
      const auto hz = tap ? number(*tap, "natural_hz", 1, 48000) : std::nullopt;
      if (!hz || static_cast<std::size_t>(card.tap_count) == card.taps.size()) continue;
      card.taps[static_cast<std::size_t>(card.tap_count++)] = {*hz, number(*tap, "damping_ratio", 0, 1).value_or(0), (*tap)["of_part"].value_or(false), (*tap)["of_machine"].value_or(false)};
    }
  return card;
}

toml::table table_from(const live::CutCard& card) {
  toml::table table;
  table.insert("programmed_rpm", card.programmed_rpm);
  table.insert("override_percent", card.override_percent);
  table.insert("flutes", card.flutes);
  table.insert("knob_step_percent", card.knob_step_percent);
  for (const Figure& figure : kFigures)
    if (card.*figure.value) table.insert(figure.name, *(card.*figure.value));
  if (card.milling) table.insert("milling", std::string(advise::word(*card.milling)));
  toml::array taps;
  for (int i = 0; i < card.tap_count; ++i) {
    const live::CardTap& tap = card.taps[static_cast<std::size_t>(i)];
    taps.push_back(toml::table{{"natural_hz", tap.natural_hz}, {"damping_ratio", tap.damping_ratio}, {"of_part", tap.of_part}, {"of_machine", tap.of_machine}});
  }
  if (!taps.empty()) table.insert("taps", taps);
  return table;
}

LastTime last_from(const toml::table& file) {
  LastTime last;
  if (const auto* screen = file["screen"].as_table()) {
    auto& liking = last.liking;
    const auto& table = *screen;
    liking.width = static_cast<int>(number(table, "width", 640, 7680).value_or(liking.width));
    liking.height = static_cast<int>(number(table, "height", 360, 4320).value_or(liking.height));
    liking.light_theme = table["light"].value_or(false);
    liking.full_screen = table["full_screen"].value_or(false);
    liking.logarithmic = table["logarithmic"].value_or(false);
    liking.look = value_in(kLooks, table["look"].value_or(std::string())).value_or(Look::bench);
    liking.units = table["inches"].value_or(false) ? dashboard::Units::inch : dashboard::Units::metric;
  }
  const auto* sound = file["sound"].as_table();
  const auto kind = sound ? value_in(kKinds, (*sound)["source"].value_or(std::string())) : std::nullopt;
  if (kind) {
    last.choice.emplace();
    last.choice->kind = *kind;
    last.choice->device = (*sound)["device"].value_or(std::string());
    last.choice->file = (*sound)["file"].value_or(std::string());
    if (const auto* cut = file["cut"].as_table()) last.choice->card = card_from(*cut);
  }
  return last;
}

}  // namespace

std::optional<std::filesystem::path> last_time_file() {
  const auto folder = live::state_folder();
  return folder ? std::optional(*folder / "last_time.toml") : std::nullopt;
}

std::optional<LastTime> read_last_time(const std::filesystem::path& file) {
  try {
    std::ifstream in(file, std::ios::binary);  // opened here, for names outside ASCII
    return in ? std::optional(last_from(toml::parse(in))) : std::nullopt;
  } catch (const std::exception&) {
    return std::nullopt;
  }
}

bool write_last_time(const std::filesystem::path& file, const LastTime& last) {
  toml::table screen;
  screen.insert("width", last.liking.width);
  screen.insert("height", last.liking.height);
  screen.insert("light", last.liking.light_theme);
  screen.insert("full_screen", last.liking.full_screen);
  screen.insert("logarithmic", last.liking.logarithmic);
  screen.insert("look", name_in(kLooks, last.liking.look));
  screen.insert("inches", last.liking.units == dashboard::Units::inch);
  toml::table whole;
  whole.insert("screen", screen);
  if (last.choice) {
    toml::table sound;
    sound.insert("source", name_in(kKinds, last.choice->kind));
    if (!last.choice->device.empty()) sound.insert("device", last.choice->device);
    if (!last.choice->file.empty()) sound.insert("file", last.choice->file);
    whole.insert("sound", sound);
    whole.insert("cut", table_from(last.choice->card));
  }
  std::error_code trouble;
  const std::filesystem::path fresh = file.string() + ".new";
  if (!platform::make_own_folder(file.parent_path()) || !platform::make_own_file(fresh)) return false;
  {
    std::ofstream out(fresh, std::ios::binary);
    out << "# How Hushmill was left; written by itself.\n" << whole << '\n';
    out.flush();
    if (!out) return false;
  }
  std::filesystem::rename(fresh, file, trouble);
  return !trouble;
}

}  // namespace hushmill::app
