#include "app/json.hpp"

#include <cmath>

#include "app/trial_json.hpp"
#include "app/warning_texts.hpp"

namespace hushmill::app {

namespace {
// Digits that were never measured help nobody: round to a sensible step for each quantity.
double seconds(double value) { return std::round(value * 1e4) / 1e4; }
double hertz(double value) { return std::round(value * 1e3) / 1e3; }
double rpm(double value) { return std::round(value * 1e3) / 1e3; }
double decibels(double value) { return std::round(value * 1e2) / 1e2; }
double share(double value) { return std::round(value * 1e4) / 1e4; }

Json maybe(const std::optional<double>& value, double (*round)(double)) {
  return value ? Json(round(*value)) : Json(nullptr);
}

Json candidate_json(const std::optional<advise::Candidate>& candidate) {
  if (!candidate) return nullptr;
  const auto& c = *candidate;
  return Json{{"spindle_rpm", rpm(c.spindle_rpm)},
              {"override_percent", rpm(c.override_percent)},
              {"knob_percent", c.knob_percent},
              {"feed_mm_min", maybe(c.feed_mm_min, rpm)},
              {"lobe", c.lobe},
              {"plain_spindle_rpm", rpm(c.plain_spindle_rpm)},
              {"likelihood", maybe(c.likelihood, share)},
              {"knob_rpm", rpm(c.knob_rpm)},
              {"knob_leaves_pocket", c.knob_leaves_pocket},
              {"pocket_from_rpm", rpm(c.width_from_rpm)},
              {"pocket_to_rpm", rpm(c.width_to_rpm)},
              {"surface_m_min", maybe(c.surface_m_min, decibels)},
              {"chip_load_ratio", share(c.chip_load_ratio)},
              {"knob_likelihood", maybe(c.knob_likelihood, share)},
              {"depth_gain", share(c.depth_gain)},
              {"on_harmonic", c.on_harmonic > 0 ? Json(c.on_harmonic) : Json(nullptr)}};
}

Json candidates_json(const std::vector<advise::Candidate>& candidates) {
  Json list = Json::array();
  for (const auto& candidate : candidates) list.push_back(candidate_json(candidate));
  return list;
}

Json barred_json(const std::vector<advise::Barred>& barred) {
  Json list = Json::array();
  for (const auto& b : barred) list.push_back({{"spindle_rpm", rpm(b.spindle_rpm)}, {"by", b.by}});
  return list;
}

Json remedies_json(const std::vector<advise::Remedy>& remedies) {
  Json list = Json::array();
  for (const auto& r : remedies)
    list.push_back({{"area", advise::word(r.area)}, {"text", r.text}, {"gain", maybe(r.gain, share)}});
  return list;
}
}  // namespace

Json to_json(const advise::Advice& advice) {
  return Json{{"lower", candidate_json(advice.lower)},
              {"higher", candidate_json(advice.higher)},
              {"prefer", advice.prefer ? Json(advise::word(*advice.prefer)) : Json(nullptr)},
              {"reason", advice.reason},
              {"knob", candidate_json(advice.knob)},
              {"candidates", candidates_json(advice.candidates)},
              {"barred", barred_json(advice.barred)},
              {"speed_may_not_do", advice.speed_may_not_do},
              {"depth_factor", maybe(advice.depth_factor, share)},
              {"remedies", remedies_json(advice.remedies)},
              {"part_sings", advice.part_sings ? Json(*advice.part_sings) : Json(nullptr)},
              {"taps_say", advice.taps_say},
              {"natural_hz", advice.natural_hz > 0 ? Json(hertz(advice.natural_hz)) : Json(nullptr)},
              {"natural_low_hz", advice.natural_hz > 0 ? Json(hertz(advice.natural_low_hz)) : Json(nullptr)},
              {"natural_high_hz", advice.natural_hz > 0 ? Json(hertz(advice.natural_high_hz)) : Json(nullptr)},
              {"notes", advice.notes},
              {"cautions", advice.cautions}};
}

Json to_json(const listen::Episode& episode) {
  return Json{{"start_s", seconds(episode.start_s)},
              {"alert_s", std::ceil(episode.alert_s * 1e4) / 1e4},  // up: sound cut off there must still hold the alarm
              {"end_s", seconds(episode.end_s)},
              {"open", episode.open},
              {"chatter_hz", hertz(episode.chatter_hz)},
              {"kind", listen::word(episode.kind)},
              {"peak_dbfs", decibels(episode.peak_dbfs)},
              {"chatter_share", share(episode.chatter_share)},
              {"return_of", episode.return_of ? Json(*episode.return_of) : Json(nullptr)},
              {"confidence", share(episode.confidence)}};
}

Json to_json(const listen::OtherFit& fit) { return {{"spindle_rpm", std::round(fit.spindle_rpm)}, {"flutes", fit.flutes}}; }

Json to_json(const Review& review) {
  Json cuts = Json::array();
  for (const auto& cut : review.findings.cuts) cuts.push_back({{"start_s", seconds(cut.start_s)}, {"end_s", seconds(cut.end_s)}});
  Json episodes = Json::array();
  for (const auto& episode : review.findings.episodes) episodes.push_back(to_json(episode));
  Json tones = Json::array();
  for (const auto& tone : review.findings.foreign_tones)
    tones.push_back({{"hz", hertz(tone.hz)}, {"start_s", seconds(tone.start_s)}, {"end_s", seconds(tone.end_s)}, {"may_be_chatter", tone.may_be_chatter}});
  Json stretches = Json::array();
  for (const auto& stretch : review.findings.stretches)
    stretches.push_back({{"from_s", seconds(stretch.from_s)},
                         {"to_s", seconds(stretch.to_s)},
                         {"entered", stretch.entered_rpm},
                         {"measured", maybe(stretch.measured_rpm, rpm)}});
  Json warnings = Json::array();
  for (const auto warning : review.findings.warnings)
    warnings.push_back({{"code", listen::word(warning)}, {"text", warning_text(warning, review.findings)}});
  return Json{{"file", review.file},
              {"sample_rate_hz", review.sample_rate_hz},
              {"duration_s", seconds(review.duration_s)},
              {"spindle_rpm",
               {{"entered", review.entered_rpm}, {"measured", maybe(review.measured_rpm, rpm)}, {"uncertainty", maybe(review.rpm_uncertainty, rpm)}}},
              {"tooth_passing_hz", hertz(review.tooth_passing_hz)},
              {"verdict", listen::word(review.verdict)},
              {"confidence", share(review.findings.confidence)},
              {"cuts", cuts},
              {"episodes", episodes},
              {"foreign_tones", tones},
              {"advice", to_json(review.advice)},
              {"stretches", stretches},
              {"beyond_limit", review.beyond.empty() ? Json() : Json(review.beyond)},
              {"trials", to_json(review.trials)},
              {"speeds", to_json(review.speeds)},
              {"other_fit", review.findings.other_fit ? to_json(*review.findings.other_fit) : Json()},
              {"warnings", warnings}};
}

std::string dump(const Json& json, int indent) {
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

}  // namespace hushmill::app
