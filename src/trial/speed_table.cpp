#include "trial/speed_table.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::trial {
namespace {

constexpr double kSameSpeed = 0.005;  // relative

// How much an outcome says against a speed.
int worse(Outcome outcome) noexcept {
  switch (outcome) {
    case Outcome::not_enough: return 0;
    case Outcome::held: return 1;
    case Outcome::chattered: return 2;
    case Outcome::returned: return 3;
  }
  return 0;
}

void add(SpeedRow& row, const Trial& trial, std::span<const Place> places) {
  if (worse(trial.outcome) > worse(row.outcome)) row.outcome = trial.outcome;
  row.quiet_s += trial.quiet_s;
  if (trial.chatter_hz > 0) row.chatter_hz = trial.chatter_hz;
  for (std::size_t i = 0; i < places.size(); ++i)
    for (const PlaceResult& part : trial.places) {
      if (part.place != places[i]) continue;
      PlaceResult& cell = row.places[i];
      cell.quiet_s += part.quiet_s;
      cell.chatter_s += part.chatter_s;
      if (worse(part.outcome) > worse(cell.outcome)) cell.outcome = part.outcome;
      // Short visits add up.
      if (!(cell.chatter_s > 0) && cell.quiet_s >= trial.wanted_s && trial.speed_heard) cell.outcome = Outcome::held;
    }
}

bool holds_everywhere(const SpeedRow& row) {
  return row.outcome == Outcome::held && std::all_of(row.places.begin(), row.places.end(), [](const PlaceResult& cell) {
           return cell.outcome == Outcome::held;
         });
}

}  // namespace

SpeedTable speed_table(std::span<const Trial> trials) {
  SpeedTable table;
  if (trials.empty()) return table;
  std::vector<const Trial*> used;
  for (const Trial& trial : trials)
    if (trial.set_up == trials.back().set_up && trial.believed()) used.push_back(&trial);
  for (const Place place : kPlaces)
    for (const Trial* trial : used)
      if (std::any_of(trial->places.begin(), trial->places.end(), [&](const PlaceResult& p) { return p.place == place; })) {
        table.places.push_back(place);
        break;
      }
  for (const Trial* trial : used) {
    auto row = std::find_if(table.rows.begin(), table.rows.end(), [&](const SpeedRow& one) {
      return std::abs(one.spindle_rpm / trial->spindle_rpm - 1) < kSameSpeed;
    });
    if (row == table.rows.end()) {
      SpeedRow fresh;
      fresh.spindle_rpm = trial->spindle_rpm;
      for (const Place place : table.places) fresh.places.push_back({place, Outcome::not_enough, 0, 0});
      row = table.rows.insert(table.rows.end(), std::move(fresh));
    }
    add(*row, *trial, table.places);
  }
  std::sort(table.rows.begin(), table.rows.end(), [](const SpeedRow& a, const SpeedRow& b) { return a.spindle_rpm > b.spindle_rpm; });
  const auto best = std::find_if(table.rows.begin(), table.rows.end(), holds_everywhere);
  if (best != table.rows.end()) table.holds_everywhere_rpm = best->spindle_rpm;
  return table;
}

}  // namespace hushmill::trial
