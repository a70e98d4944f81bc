#include "live/journal_rows.hpp"

#include <algorithm>
#include <string>

#include "live/cut_fields.hpp"

namespace hushmill::live {
namespace {

constexpr std::int64_t kMostTeeth = 64;

journal::AdviceRow candidate_row(const char* direction, const advise::Candidate& candidate, bool first) {
  journal::AdviceRow row;
  row.direction = direction;
  row.first = first;
  row.spindle_rpm = candidate.spindle_rpm;
  row.feed_mm_min = candidate.feed_mm_min;
  row.override_percent = candidate.override_percent;
  row.knob_percent = candidate.knob_percent;
  row.likelihood = candidate.likelihood;
  return row;
}

journal::AdviceRow text_row(const char* direction, const std::string& words) {
  journal::AdviceRow row;
  row.direction = direction;
  row.text = words;
  return row;
}

}  // namespace

journal::CardRow card_row(double t_s, const CutCard& card) {
  journal::CardRow row;
  copy_cut(card, row);
  row.t_s = t_s;
  row.entered_rpm = card.entered_rpm();
  row.knob_step_percent = card.knob_step_percent;
  row.pitch_pattern_teeth = card.pitch_pattern_teeth;
  row.unequal_pitch = card.unequal_pitch;
  row.knob_least_percent = card.knob_min_percent;
  row.knob_most_percent = card.knob_max_percent;
  return row;
}

std::vector<journal::TapRow> tap_rows(const CutCard& card, const std::string& utc) {
  std::vector<journal::TapRow> rows;
  for (int i = 0; i < card.tap_count; ++i) {
    const CardTap& tap = card.taps[static_cast<std::size_t>(i)];
    journal::TapRow row;
    row.utc = utc;
    row.of_part = tap.of_part;
    row.of_machine = tap.of_machine;
    row.hz = tap.natural_hz;
    if (tap.damping_ratio > 0) row.damping_ratio = tap.damping_ratio;
    rows.push_back(row);
  }
  return rows;
}

void take_taps(const std::vector<journal::TapRow>& rows, CutCard& card) {
  card.tap_count = 0;
  for (const auto& row : rows)
    if (static_cast<std::size_t>(card.tap_count) < card.taps.size())
      card.taps[static_cast<std::size_t>(card.tap_count++)] = {row.hz, row.damping_ratio.value_or(0), row.of_part, row.of_machine};
}

CutCard card_from(const journal::CardRow& row) {
  CutCard card;
  copy_cut(row, card);
  card.knob_step_percent = row.knob_step_percent.value_or(card.knob_step_percent);
  // Whoever wrote the row: a pattern of no teeth would divide by zero.
  card.pitch_pattern_teeth = row.pitch_pattern_teeth >= 1 && row.pitch_pattern_teeth <= kMostTeeth ? static_cast<int>(row.pitch_pattern_teeth) : 1;
  card.unequal_pitch = row.unequal_pitch;
  card.knob_min_percent = row.knob_least_percent;
  card.knob_max_percent = row.knob_most_percent;
  return card;
}

journal::EpisodeRow episode_row(std::int64_t number, const listen::Episode& episode) {
  journal::EpisodeRow row;
  row.number = number;
  row.start_s = episode.start_s;
  row.alert_s = episode.alert_s;
  row.end_s = episode.end_s;
  row.open = episode.open;
  row.chatter_hz = episode.chatter_hz;
  row.kind = listen::word(episode.kind);
  row.peak_dbfs = episode.peak_dbfs;
  row.chatter_share = episode.chatter_share;
  row.confidence = episode.confidence;
  if (episode.return_of) row.return_of = *episode.return_of + 1;
  return row;
}

journal::EpisodeRow episode_row(std::int64_t number, const listen::Episode& episode, const listen::Findings& findings) {
  auto row = episode_row(number, episode);
  bool found = false;
  for (const listen::SpeedStretch& stretch : findings.stretches) {
    if (found && stretch.from_s > row.alert_s) break;
    found = true;
    row.entered_rpm = stretch.entered_rpm;
    row.measured_rpm = stretch.measured_rpm;
  }
  return row;
}

std::optional<std::int64_t> advised_as(const journal::SessionRecord& record, std::int64_t episode_number) {
  const auto advice_of = [&](std::int64_t number) {
    std::vector<const journal::AdviceRow*> rows;
    for (const auto& row : record.advice)
      if (row.episode_number == number) rows.push_back(&row);
    return rows;
  };
  const auto own = advice_of(episode_number);
  if (own.empty()) return std::nullopt;
  // The first of the tone, or the one just before.
  const auto self = std::ranges::find(record.episodes, episode_number, &journal::EpisodeRow::number);
  for (const auto& number : {self == record.episodes.end() ? std::nullopt : self->return_of, std::optional(episode_number - 1)}) {
    if (!number || *number < 1) continue;
    const auto rows = advice_of(*number);
    const bool same = std::equal(own.begin(), own.end(), rows.begin(), rows.end(), [](const journal::AdviceRow* a, const journal::AdviceRow* b) {
      return a->direction == b->direction && a->first == b->first && a->spindle_rpm == b->spindle_rpm && a->likelihood == b->likelihood && a->text == b->text;
    });
    if (same) return number;
  }
  return std::nullopt;
}

std::vector<journal::AdviceRow> advice_rows(std::int64_t episode_number, double t_s, const advise::Advice& advice) {
  std::vector<journal::AdviceRow> rows;
  const bool lower_first = !advice.prefer || *advice.prefer == advise::Direction::lower;
  if (advice.lower) rows.push_back(candidate_row("lower", *advice.lower, lower_first || !advice.higher));
  if (advice.higher) rows.push_back(candidate_row("higher", *advice.higher, !lower_first || !advice.lower));
  if (advice.knob) {
    rows.push_back(candidate_row("knob", *advice.knob, false));
    rows.back().likelihood = advice.knob->knob_likelihood;
  }
  if (!advice.reason.empty()) rows.push_back(text_row("reason", advice.reason));
  if (!advice.taps_say.empty()) rows.push_back(text_row("taps", advice.taps_say));
  for (const advise::Remedy& remedy : advice.remedies) {
    rows.push_back(text_row("other", std::string(advise::word(remedy.area)) + ": " + remedy.text));
  }
  for (const std::string& note : advice.notes) rows.push_back(text_row("note", note));
  for (std::size_t i = advise::kCommonCautions; i < advice.cautions.size(); ++i) rows.push_back(text_row("caution", advice.cautions[i]));
  for (journal::AdviceRow& row : rows) {
    row.episode_number = episode_number;
    row.t_s = t_s;
  }
  return rows;
}

journal::TrialRow trial_row(const TrialKept& trial, const CutCard& card) {
  journal::TrialRow row;
  row.number = trial.number;
  row.from_s = trial.from_s;
  row.to_s = trial.to_s;
  row.spindle_rpm = trial.spindle_rpm;
  row.programmed_rpm = card.programmed_rpm;
  if (card.feed_mm_min && card.programmed_rpm > 0) row.feed_mm_min = *card.feed_mm_min * trial.spindle_rpm / card.programmed_rpm;
  row.outcome = trial.outcome;
  row.quiet_s = trial.quiet_s;
  row.chatter_hz = trial.chatter_hz;
  row.before_dbfs = trial.before_dbfs;
  row.after_dbfs = trial.after_dbfs;
  row.text = trial.text;
  return row;
}

std::vector<journal::SpeedRow> speed_rows(const trial::SpeedTable& table) {
  std::vector<journal::SpeedRow> rows;
  for (const trial::SpeedRow& speed : table.rows) {
    const bool best = table.holds_everywhere_rpm == speed.spindle_rpm;
    rows.push_back({speed.spindle_rpm, {}, std::string(trial::word(speed.outcome)), speed.quiet_s, {}, best});
    for (const trial::PlaceResult& place : speed.places)
      rows.push_back({speed.spindle_rpm, std::string(trial::word(place.place)), std::string(trial::word(place.outcome)), place.quiet_s, place.chatter_s, best});
  }
  return rows;
}

}  // namespace hushmill::live
