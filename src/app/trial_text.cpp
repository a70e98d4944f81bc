#include "app/trial_text.hpp"

#include <fmt/format.h>

#include "trial/words.hpp"

namespace hushmill::app {

namespace {
std::string cell_text(const trial::PlaceResult& cell) {
  if (!(cell.quiet_s + cell.chatter_s > 0)) return "-";
  if (cell.outcome == trial::Outcome::held) return fmt::format("held {:.1f} s", cell.quiet_s);
  if (cell.outcome == trial::Outcome::not_enough) return fmt::format("quiet {:.1f} s", cell.quiet_s);
  return trial::short_word(cell.outcome);
}

std::string table_text(const trial::SpeedTable& table) {
  std::string text = fmt::format("Speed      {:<16}", "anywhere");
  for (const auto place : table.places) text += fmt::format("{:<16}", std::string(trial::word(place)));
  text += "\n";
  for (const auto& row : table.rows) {
    text += fmt::format("  S{:<8.0f}{:<16}", row.spindle_rpm, trial::short_word(row.outcome));
    for (const auto& cell : row.places) text += fmt::format("{:<16}", cell_text(cell));
    text += "\n";
  }
  return text;
}
}  // namespace

std::string to_text(const trial::Trial& trial) {
  std::string text = fmt::format("  {}  S{:<6.0f}{:8.2f} to {:8.2f} s  {}\n", trial.number, trial.spindle_rpm, trial.from_s, trial.to_s, trial::sentence(trial));
  if (const auto laps = trial::lap_words(trial); !laps.empty()) text += "     " + laps + "\n";
  if (const auto compared = trial::comparison_words(trial); !compared.empty()) text += "     " + compared + "\n";
  return text;
}

std::string speeds_text(const std::vector<trial::Trial>& trials, const trial::SpeedTable& table) {
  std::string text = trials.size() > 1 || !table.places.empty() ? "Speeds\n" : "";
  if (!table.places.empty()) text += table_text(table);
  if (table.rows.size() > 1 || !table.places.empty()) text += "  " + trial::table_words(table) + "\n";
  if (table.holds_everywhere_rpm) text += "  Nobody marks laps here: the whole stretch counts as the pass. Whether a whole lap was cut, only the person at the machine knows.\n";
  return text;
}

std::string to_text(const std::vector<trial::Trial>& trials, const trial::SpeedTable& table) {
  std::string text = "Trials\n";
  for (const auto& trial : trials) text += to_text(trial);
  if (!table.places.empty()) text += table_text(table);
  if (table.rows.size() > 1 || !table.places.empty()) text += "  " + trial::table_words(table) + "\n";
  return text;
}

}  // namespace hushmill::app
