#include "live/earlier_trials.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <optional>
#include <system_error>

#include "live/journal_rows.hpp"

namespace hushmill::live {
namespace {

constexpr double kSameTriedSpeed = 0.005;  // relative, as among the trials of one session
constexpr double kSameLength = 0.01;       // relative
constexpr double kNoRpmBelow = 1, kNoHzBelow = 1;

bool same_tried_speed(double a_rpm, double b_rpm) { return std::abs(a_rpm / b_rpm - 1) < kSameTriedSpeed; }

bool may_be_same(const std::optional<double>& a, const std::optional<double>& b) {
  return !a || !b || std::abs(*a - *b) <= kSameLength * std::abs(*b);
}

bool on_this_cut(const CutCard& then, const CutCard& now) {
  return then.flutes == now.flutes && then.unequal_pitch == now.unequal_pitch && then.pitch_pattern_teeth == now.pitch_pattern_teeth && may_be_same(then.diameter_mm, now.diameter_mm) && may_be_same(then.radial_mm, now.radial_mm) &&
         may_be_same(then.depth_mm, now.depth_mm) && (!then.milling || !now.milling || *then.milling == *now.milling);
}

CutCard card_at(const journal::SessionRecord& record, double t_s) {
  const journal::CardRow* found = nullptr;
  for (const auto& row : record.cards)
    if (found == nullptr || row.t_s <= t_s) found = &row;
  return found != nullptr ? card_from(*found) : CutCard{};
}

/// How often the person had said by then that another cut is made.
std::ptrdiff_t cut_number(const journal::SessionRecord& record, double t_s) {
  return std::count_if(record.events.begin(), record.events.end(), [&](const auto& event) { return event.kind == "another_cut" && event.t_s <= t_s; });
}

std::optional<advise::Outcome> outcome_from(std::string_view word) {
  for (const auto outcome : {advise::Outcome::held, advise::Outcome::chattered, advise::Outcome::returned})
    if (word == advise::word(outcome)) return outcome;
  return std::nullopt;
}

/// The same count of waves per tooth, seen at the entered speed.
double seen_at_entered_hz(const journal::EpisodeRow& episode) {
  const bool measured = episode.measured_rpm && *episode.measured_rpm > 0 && episode.entered_rpm > 0;
  return measured ? episode.chatter_hz * episode.entered_rpm / *episode.measured_rpm : episode.chatter_hz;
}

/// A speed of the session, and when it was tried.
struct Told {
  double from_s = 0;
  advise::Trial trial;
};

std::vector<Told> told_by(const journal::SessionRecord& record) {
  std::vector<Told> told;
  for (const auto& row : record.trials) {
    const auto outcome = outcome_from(row.outcome);
    if (!outcome || !(row.spindle_rpm > kNoRpmBelow)) continue;
    Told one{row.from_s, {row.spindle_rpm, *outcome, {}}};
    // Chatter that only went on here has the tone of its beginning, at another speed.
    for (const auto& episode : record.episodes)
      if (*outcome != advise::Outcome::held && episode.alert_s >= row.from_s && episode.alert_s <= row.to_s) one.trial.chatter_hz = seen_at_entered_hz(episode);
    told.push_back(one);
  }
  // A trial is written when it ends: of a session that was cut off the last one has only its chatter.
  const bool cut_off = record.session.ended_utc.empty();
  for (const auto& episode : record.episodes)
    if (episode.entered_rpm > kNoRpmBelow && (record.trials.empty() || (cut_off && episode.alert_s >= record.trials.back().to_s)))
      told.push_back({episode.alert_s, {episode.entered_rpm, episode.return_of ? advise::Outcome::returned : advise::Outcome::chattered, seen_at_entered_hz(episode)}});
  return told;
}

// Chatter outweighs quiet, and chatter that came back at a speed outweighs both.
void merge(const advise::Trial& trial, std::vector<advise::Trial>& trials) {
  const auto same = std::find_if(trials.begin(), trials.end(), [&](const auto& one) { return same_tried_speed(one.spindle_rpm, trial.spindle_rpm); });
  if (same == trials.end()) {
    trials.push_back(trial);
    return;
  }
  if (trial.outcome == advise::Outcome::held) return;
  same->outcome = same->outcome == advise::Outcome::held ? trial.outcome : advise::Outcome::returned;
  if (trial.chatter_hz) same->chatter_hz = trial.chatter_hz;
}

std::optional<double> number_from(std::string_view text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc() && end == text.data() + text.size() && std::isfinite(value) ? std::optional(value) : std::nullopt;
}

std::string_view trimmed_of_spaces(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

std::optional<advise::Trial> one_from(std::string_view text) {
  const auto colon = text.find(':');
  if (colon == std::string_view::npos) return std::nullopt;
  const auto at = text.find('@', colon);
  const auto rpm = number_from(text.substr(0, colon));
  const auto outcome = outcome_from(text.substr(colon + 1, at == std::string_view::npos ? at : at - colon - 1));
  if (!rpm || !(*rpm > kNoRpmBelow) || !outcome) return std::nullopt;
  advise::Trial trial{*rpm, *outcome, {}};
  if (at == std::string_view::npos) return trial;
  const auto hz = number_from(text.substr(at + 1));
  if (!hz || !(*hz >= kNoHzBelow)) return std::nullopt;
  trial.chatter_hz = *hz;
  return trial;
}

std::string short_number(double value) {
  std::array<char, 40> text{};
  std::snprintf(text.data(), text.size(), "%.6g", value);
  return text.data();
}

}  // namespace

EarlierTrials earlier_trials(const journal::SessionRecord& record, const CutCard& card) {
  EarlierTrials earlier;
  std::vector<Told> told = told_by(record);
  const auto of_another = std::remove_if(told.begin(), told.end(), [&](const Told& one) { return !on_this_cut(card_at(record, one.from_s), card); });
  earlier.other_cut = of_another != told.end();
  told.erase(of_another, told.end());
  if (told.empty()) return earlier;
  const auto last = cut_number(record, told.back().from_s);
  for (const Told& one : told) {
    if (cut_number(record, one.from_s) != last) {
      earlier.other_cut = true;
      continue;
    }
    earlier.depth_not_noted = earlier.depth_not_noted || (card.depth_mm && !card_at(record, one.from_s).depth_mm);
    merge(one.trial, earlier.trials);
  }
  std::sort(earlier.trials.begin(), earlier.trials.end(), [](const auto& a, const auto& b) { return a.spindle_rpm < b.spindle_rpm; });
  return earlier;
}

void add_untold(std::span<const advise::Trial> more, std::vector<advise::Trial>& trials) {
  for (const advise::Trial& one : more)
    if (std::none_of(trials.begin(), trials.end(), [&](const advise::Trial& told) { return same_tried_speed(told.spindle_rpm, one.spindle_rpm); }))
      trials.push_back(one);
}

std::string tried_text(std::span<const advise::Trial> trials) {
  std::string text;
  for (const advise::Trial& trial : trials) {
    text += (text.empty() ? "" : ", ") + short_number(trial.spindle_rpm) + ":" + std::string(advise::word(trial.outcome));
    if (trial.chatter_hz) text += "@" + short_number(*trial.chatter_hz);
  }
  return text;
}

std::vector<advise::Trial> tried_from(std::string_view text) {
  std::vector<advise::Trial> trials;
  while (!text.empty()) {
    const auto comma = text.find(',');
    if (const auto one = one_from(trimmed_of_spaces(text.substr(0, comma)))) trials.push_back(*one);
    text = comma == std::string_view::npos ? std::string_view{} : text.substr(comma + 1);
  }
  return trials;
}

}  // namespace hushmill::live
