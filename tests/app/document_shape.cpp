#include "app/document_shape.hpp"

#include <algorithm>
#include <span>

namespace hushmill::test {
namespace {

// A name and the types that its value may have, as "number|null".
struct Field {
  std::string_view name, types;
};

constexpr Field kDocument[] = {{"file", "string"},
                               {"sample_rate_hz", "number"},
                               {"duration_s", "number"},
                               {"spindle_rpm", "object"},
                               {"tooth_passing_hz", "number"},
                               {"verdict", "string"},
                               {"confidence", "number"},
                               {"cuts", "array"},
                               {"episodes", "array"},
                               {"foreign_tones", "array"},
                               {"advice", "object"},
                               {"stretches", "array"},
                               {"trials", "array"},
                               {"speeds", "object"},
                               {"warnings", "array"}};
constexpr Field kSpeed[] = {{"entered", "number"}, {"measured", "number|null"}, {"uncertainty", "number|null"}};
constexpr Field kCut[] = {{"start_s", "number"}, {"end_s", "number"}};
constexpr Field kEpisode[] = {{"start_s", "number"},   {"alert_s", "number"},       {"end_s", "number"},
                              {"open", "boolean"},     {"chatter_hz", "number"},    {"kind", "string"},
                              {"peak_dbfs", "number"}, {"chatter_share", "number"}, {"return_of", "integer|null"}};
constexpr Field kTone[] = {{"hz", "number"}, {"start_s", "number"}, {"end_s", "number"}};
constexpr Field kAdvice[] = {
    {"lower", "object|null"},      {"higher", "object|null"},      {"prefer", "string|null"},
    {"reason", "string"},          {"knob", "object|null"},        {"candidates", "array"},
    {"barred", "array"},           {"speed_may_not_do", "boolean"}, {"depth_factor", "number|null"},
    {"remedies", "array"},         {"part_sings", "boolean|null"}, {"taps_say", "string"}, {"natural_hz", "number|null"},
    {"notes", "array"},            {"cautions", "array"}};
constexpr Field kBarred[] = {{"spindle_rpm", "number"}, {"by", "string"}};
constexpr Field kRemedy[] = {{"area", "string"}, {"text", "string"}, {"gain", "number|null"}};
constexpr Field kCandidate[] = {{"spindle_rpm", "number"},    {"override_percent", "number"},
                                {"knob_percent", "number"},   {"feed_mm_min", "number|null"},
                                {"lobe", "integer"},          {"plain_spindle_rpm", "number"},
                                {"likelihood", "number|null"},
                                {"knob_likelihood", "number|null"},
                                {"depth_gain", "number"},
                                {"on_harmonic", "integer|null"}};
constexpr Field kStretch[] = {
    {"from_s", "number"}, {"to_s", "number"}, {"entered", "number"}, {"measured", "number|null"}};
constexpr Field kTrial[] = {{"trial", "integer"}, {"from_s", "number"},       {"to_s", "number"},          {"spindle_rpm", "number"},
                            {"measured_rpm", "number|null"}, {"outcome", "string"},   {"quiet_s", "number"},
                            {"returns_s", "array"},     {"returns", "array"},        {"laps", "object|null"},
                            {"judged_from_s", "number"}, {"cut_s", "number"},        {"quiet_run_s", "number"},
                            {"chatter_s", "number"},    {"chatter_hz", "number|null"}, {"heard_as", "object|null"}, {"heard_as_since_s", "number|null"}, {"speed_heard", "boolean"},
                            {"places", "array"},        {"levels", "object"},        {"compared", "object|null"}};
constexpr Field kReturn[] = {{"at_s", "number"}, {"for_s", "number"}, {"chatter_hz", "number"}, {"after_quiet_s", "number"}};
constexpr Field kPlace[] = {{"place", "string"}, {"outcome", "string"}, {"quiet_s", "number"}, {"chatter_s", "number"}};
constexpr Field kLevels[] = {{"over_s", "number"},      {"tone_hz", "number"},       {"tone_dbfs", "number"},
                             {"family_dbfs", "number"}, {"chatter_share", "number"}, {"total_dbfs", "number"}};
constexpr Field kCompared[] = {{"trial", "integer"},  {"place", "string|null"}, {"before", "object"},  {"after", "object"},
                               {"tone_db", "number"}, {"family_db", "number"},  {"total_db", "number"}};
constexpr Field kSpeeds[] = {{"rows", "array"}, {"holds_everywhere_rpm", "number|null"}};
constexpr Field kSpeedRow[] = {
    {"spindle_rpm", "number"}, {"outcome", "string"}, {"quiet_s", "number"}, {"chatter_hz", "number|null"}, {"places", "array"}};
constexpr std::string_view kOutcomes[] = {"held", "returned", "chattered", "not_enough"};
constexpr Field kWarning[] = {{"code", "string"}, {"text", "string"}};

bool is(const Json& value, std::string_view type) {
  if (type == "integer") return value.is_number_integer();
  if (type == "number") return value.is_number();
  if (type == "null") return value.is_null();
  return value.type_name() == type;
}

bool is_one_of(const Json& value, std::string_view types) {
  while (!types.empty()) {
    const auto type = types.substr(0, types.find('|'));
    if (is(value, type)) return true;
    types.remove_prefix(std::min(types.size(), type.size() + 1));
  }
  return false;
}

class Shape {
 public:
  void object(const Json& value, const std::string& where, std::span<const Field> fields) {
    if (!value.is_object()) return add(where + " is no object");
    for (const Field& field : fields) {
      const std::string name(field.name);
      if (!value.contains(name))
        add(where + "." + name + " is missing");
      else if (!is_one_of(value[name], field.types))
        add(where + "." + name + " is " + value[name].dump() + " and not " + std::string(field.types));
    }
  }

  void array(const Json& value, const std::string& where, std::span<const Field> fields) {
    for (std::size_t i = 0; i < value.size(); ++i) object(value[i], where + "[" + std::to_string(i) + "]", fields);
  }

  void word(const Json& value, const std::string& where, std::span<const std::string_view> allowed) {
    for (const auto& known : allowed)
      if (value == known) return;
    add(where + " is " + value.dump() + ", none of its words");
  }

  void advice(const Json& value, const std::string& where) {
    object(value, where, kAdvice);
    array(value.value("candidates", Json::array()), where + ".candidates", kCandidate);
    array(value.value("barred", Json::array()), where + ".barred", kBarred);
    array(value.value("remedies", Json::array()), where + ".remedies", kRemedy);
    for (const char* way : {"lower", "higher", "knob"})
      if (value.contains(way) && value[way].is_object()) object(value[way], where + "." + way, kCandidate);
    constexpr std::string_view kWays[] = {"lower", "higher"};
    if (value.contains("prefer") && !value["prefer"].is_null()) word(value["prefer"], where + ".prefer", kWays);
  }

  void places(const Json& value, const std::string& where) {
    array(value, where, kPlace);
    for (const Json& place : value) word(place.value("outcome", ""), where + ".outcome", kOutcomes);
  }

  void trials(const Json& value, const std::string& where) {
    array(value, where, kTrial);
    for (const Json& trial : value) {
      word(trial.value("outcome", ""), where + ".outcome", kOutcomes);
      array(trial.value("returns", Json::array()), where + ".returns", kReturn);
      for (const Json& at_s : trial.value("returns_s", Json::array()))
        if (!at_s.is_number()) add(where + ".returns_s holds " + at_s.dump());
      places(trial.value("places", Json::array()), where + ".places");
      for (const char* kind : {"quiet", "chatter"}) {
        const Json levels = trial.value("levels", Json::object());
        if (!levels.contains(kind)) add(where + ".levels." + kind + " is missing");
        if (levels.contains(kind) && !levels[kind].is_null()) object(levels[kind], where + ".levels." + kind, kLevels);
      }
      const Json compared = trial.value("compared", Json());
      if (compared.is_null()) continue;
      object(compared, where + ".compared", kCompared);
      object(compared.value("before", Json()), where + ".compared.before", kLevels);
      object(compared.value("after", Json()), where + ".compared.after", kLevels);
    }
  }

  void speeds(const Json& value, const std::string& where) {
    object(value, where, kSpeeds);
    array(value.value("rows", Json::array()), where + ".rows", kSpeedRow);
    for (const Json& row : value.value("rows", Json::array())) {
      word(row.value("outcome", ""), where + ".rows.outcome", kOutcomes);
      places(row.value("places", Json::array()), where + ".rows.places");
    }
  }

  void episodes(const Json& value, const std::string& where) {
    array(value, where, kEpisode);
    constexpr std::string_view kKinds[] = {"hopf", "period_doubling"};
    for (const Json& episode : value) word(episode.value("kind", ""), where + ".kind", kKinds);
  }

  void add(const std::string& line) { trouble += line + "\n"; }

  std::string trouble;
};

}  // namespace

std::string advice_shape_trouble(const Json& advice) {
  Shape shape;
  shape.advice(advice, "advice");
  return shape.trouble;
}

std::string episode_shape_trouble(const Json& episode) {
  Shape shape;
  shape.episodes(Json::array({episode}), "episode");
  return shape.trouble;
}

std::string shape_trouble(const Json& document) {
  Shape shape;
  shape.object(document, "document", kDocument);
  if (!shape.trouble.empty()) return shape.trouble;
  constexpr std::string_view kVerdicts[] = {"chatter", "forced_vibration", "steady", "no_cut"};
  shape.word(document["verdict"], "verdict", kVerdicts);
  shape.object(document["spindle_rpm"], "spindle_rpm", kSpeed);
  shape.array(document["cuts"], "cuts", kCut);
  shape.episodes(document["episodes"], "episodes");
  shape.array(document["foreign_tones"], "foreign_tones", kTone);
  shape.advice(document["advice"], "advice");
  shape.array(document["stretches"], "stretches", kStretch);
  shape.trials(document["trials"], "trials");
  shape.speeds(document["speeds"], "speeds");
  shape.array(document["warnings"], "warnings", kWarning);
  return shape.trouble;
}

}  // namespace hushmill::test
