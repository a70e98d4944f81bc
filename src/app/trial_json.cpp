#include "app/trial_json.hpp"

#include <cmath>

namespace hushmill::app {

namespace {
using Json = nlohmann::ordered_json;

double seconds(double value) { return std::round(value * 1e4) / 1e4; }
double tenths(double value) { return std::round(value * 10) / 10; }
double thousandths(double value) { return std::round(value * 1e3) / 1e3; }

Json levels_json(const std::optional<trial::Levels>& levels) {
  if (!levels) return nullptr;
  return {{"over_s", thousandths(levels->over_s)},
          {"tone_hz", tenths(levels->tone_hz)},
          {"tone_dbfs", tenths(levels->tone_dbfs)},
          {"family_dbfs", tenths(levels->family_dbfs)},
          {"chatter_share", thousandths(levels->share)},
          {"total_dbfs", tenths(levels->total_dbfs)}};
}

Json comparison_json(const std::optional<trial::Comparison>& compared) {
  if (!compared) return nullptr;
  const auto& [number, place, before, after] = *compared;
  return {{"trial", number},
          {"place", place ? Json(trial::word(*place)) : Json(nullptr)},
          {"before", levels_json(before)},
          {"after", levels_json(after)},
          {"tone_db", tenths(after.tone_dbfs - before.tone_dbfs)},
          {"family_db", tenths(after.family_dbfs - before.family_dbfs)},
          {"total_db", tenths(after.total_dbfs - before.total_dbfs)}};
}

Json places_json(const std::vector<trial::PlaceResult>& places) {
  Json list = Json::array();
  for (const auto& p : places)
    list.push_back({{"place", trial::word(p.place)}, {"outcome", trial::word(p.outcome)}, {"quiet_s", seconds(p.quiet_s)}, {"chatter_s", seconds(p.chatter_s)}});
  return list;
}
}  // namespace

Json to_json(const trial::Trial& trial) {
  Json times = Json::array(), returns = Json::array();
  for (const auto& r : trial.returns) {
    times.push_back(seconds(r.at_s));
    returns.push_back({{"at_s", seconds(r.at_s)}, {"for_s", seconds(r.for_s)}, {"chatter_hz", thousandths(r.chatter_hz)}, {"after_quiet_s", seconds(r.after_quiet_s)}});
  }
  Json laps = nullptr;
  if (trial.laps)
    laps = {{"period_s", thousandths(trial.laps->period_s)}, {"spread_s", thousandths(trial.laps->spread_s)}, {"per_period", trial.laps->per_period}};
  Json heard_as = nullptr;
  if (trial.heard_as) heard_as = {{"spindle_rpm", std::round(trial.heard_as->spindle_rpm)}, {"flutes", trial.heard_as->flutes}};
  return {{"trial", trial.number},
          {"from_s", seconds(trial.from_s)},
          {"to_s", seconds(trial.to_s)},
          {"spindle_rpm", trial.spindle_rpm},
          {"measured_rpm", trial.measured_rpm ? Json(thousandths(*trial.measured_rpm)) : Json(nullptr)},
          {"outcome", trial::word(trial.outcome)},
          {"quiet_s", seconds(trial.quiet_s)},
          {"returns_s", times},
          {"returns", returns},
          {"laps", laps},
          {"judged_from_s", seconds(trial.judged_from_s)},
          {"cut_s", seconds(trial.cut_s)},
          {"quiet_run_s", seconds(trial.quiet_run_s)},
          {"chatter_s", seconds(trial.chatter_s)},
          {"chatter_hz", trial.chatter_hz > 0 ? Json(thousandths(trial.chatter_hz)) : Json(nullptr)},
          {"heard_as", heard_as},
          {"heard_as_since_s", trial.heard_as_since_s ? Json(seconds(*trial.heard_as_since_s)) : Json(nullptr)},
          {"speed_heard", trial.speed_heard},
          {"places", places_json(trial.places)},
          {"levels", {{"quiet", levels_json(trial.quiet)}, {"chatter", levels_json(trial.chatter)}}},
          {"compared", comparison_json(trial.compared)}};
}

Json to_json(const std::vector<trial::Trial>& trials) {
  Json list = Json::array();
  for (const auto& trial : trials) list.push_back(to_json(trial));
  return list;
}

Json to_json(const trial::SpeedTable& table) {
  Json rows = Json::array();
  for (const auto& row : table.rows)
    rows.push_back({{"spindle_rpm", row.spindle_rpm},
                    {"outcome", trial::word(row.outcome)},
                    {"quiet_s", seconds(row.quiet_s)},
                    {"chatter_hz", row.chatter_hz > 0 ? Json(thousandths(row.chatter_hz)) : Json(nullptr)},
                    {"places", places_json(row.places)}});
  return {{"rows", rows}, {"holds_everywhere_rpm", table.holds_everywhere_rpm ? Json(*table.holds_everywhere_rpm) : Json(nullptr)}};
}

}  // namespace hushmill::app
