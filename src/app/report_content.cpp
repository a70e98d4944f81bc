#include "app/beyond_limit.hpp"
#include "app/report_content.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "app/inch_words.hpp"
#include "app/warning_texts.hpp"
#include "cutting/speeds.hpp"
#include "journal/utc.hpp"
#include "live/journal_rows.hpp"
#include "live/trials_kept.hpp"

namespace hushmill::app {

namespace {
// More pictures than these help nobody; the tables name all.
constexpr std::size_t kMostPictured = 12;
constexpr std::size_t kMostListed = 60;
constexpr double kBeforeS = 1.0, kAfterS = 4.0;

std::string speed_words(double rpm, const std::optional<double>& feed_mm_min, bool inches) {
  return fmt::format("S{:.0f}", rpm) + (feed_mm_min ? " " + feed_words(*feed_mm_min, inches) : std::string());
}

std::string likely(const std::optional<double>& likelihood) {
  return likelihood ? fmt::format(", {:.0f} % likely quiet", 100 * *likelihood) : std::string();
}

const journal::CardRow* card_at(const journal::SessionRecord& record, double t_s) {
  const journal::CardRow* found = record.cards.empty() ? nullptr : &record.cards.front();
  for (const auto& card : record.cards)
    if (card.t_s <= t_s) found = &card;
  return found;
}

std::string trial_word(const std::string& outcome) {
  return outcome == "not_enough" ? "not enough cut to tell" : outcome == "returned" ? "came back" : outcome;
}

void add(report::Facts& facts, const char* name, const std::string& value) {
  if (!value.empty()) facts.emplace_back(name, value);
}
void add(report::Facts& facts, const char* name, const std::optional<double>& value, const char* unit) {
  if (value) facts.emplace_back(name, fmt::format("{:.6g} {}", *value, unit));
}

double end_of(const journal::SessionRecord& record) {
  double end_s = record.session.heard_s.value_or(0);
  for (const auto& event : record.events) end_s = std::max(end_s, event.t_s);
  for (const auto& episode : record.episodes) end_s = std::max(end_s, episode.end_s);
  return end_s;
}

// A trial's sentence without the figures that follow it.
std::string first_part(const std::string& text) {
  const auto end = text.find("against trial");
  return end == std::string::npos ? text : text.substr(0, text.rfind("; ", end));
}

// What became of the last change of speed, since that is what the reader asks first.
std::string outcome_of(const journal::SessionRecord& record) {
  if (record.trials.size() < 2) return {};
  const auto& last = record.trials.back();
  if (last.outcome == "held") return fmt::format("S{:.0f} held at the end, without chatter in {:.1f} s of cut. ", last.spindle_rpm, last.quiet_s.value_or(0));
  if (last.outcome == "returned") return fmt::format("At S{:.0f} it came back. ", last.spindle_rpm);
  if (last.outcome == "chattered") return fmt::format("S{:.0f} did not clear it. ", last.spindle_rpm);
  // Its own words say what is wanted: more cut, a marked lap, or the speed itself.
  return fmt::format("Whether S{:.0f} holds was not shown: {}. ", last.spindle_rpm, last.text.empty() ? std::string("not enough cut") : first_part(last.text));
}

std::string beyond_of(const journal::SessionRecord& record) {
  if (record.cards.empty()) return {};
  const auto& card = record.cards.back();
  const auto words = beyond_limit(card.entered_rpm, card.min_rpm, lower_of(card.max_rpm, card.tool_max_rpm));
  return words.empty() ? words : words + " ";
}

std::string verdict_of(const journal::SessionRecord& record) {
  if (record.episodes.empty()) return beyond_of(record) + (record.cuts.empty() ? "No cut was heard." : "No chatter was heard.");
  const auto& last = record.episodes.back();
  std::string text = fmt::format("Chatter was heard {}, at first at {:.0f} Hz and {:.0f} rev/min.",
                                 record.episodes.size() == 1 ? "once" : fmt::format("{} times", record.episodes.size()),
                                 record.episodes.front().chatter_hz, record.episodes.front().entered_rpm);
  if (last.open) text += " It was still there at the end.";
  return beyond_of(record) + outcome_of(record) + text;
}

// What else was changed with a speed: another tool must not hide behind the same number of turns.
std::string changes_of(const journal::SessionRecord& record, const journal::CardRow& was, const journal::CardRow& is, bool inches) {
  constexpr double kSameMomentS = 0.05;
  std::string text;
  for (const auto& event : record.events)
    if (event.kind == "tool" && std::abs(event.t_s - is.t_s) < kSameMomentS && !event.text.empty()) text += ", " + event.text;
  if (is.flutes != was.flutes) text += fmt::format(", {} flute{}", is.flutes, is.flutes == 1 ? "" : "s");
  const auto length = [&](const std::optional<double>& before_mm, const std::optional<double>& mm, const char* name) {
    if (mm && before_mm != mm) text += ", " + length_words(*mm, inches) + name;
  };
  length(was.diameter_mm, is.diameter_mm, " diameter");
  length(was.radial_mm, is.radial_mm, " wide");
  length(was.depth_mm, is.depth_mm, " deep");
  if (is.tool_max_rpm != was.tool_max_rpm && is.tool_max_rpm) text += fmt::format(", at most {:.0f} rev/min", *is.tool_max_rpm);
  return text;
}

report::Facts cut_facts(const journal::SessionRecord& record, bool inches) {
  report::Facts facts;
  const auto& s = record.session;
  add(facts, "Job", s.job);
  add(facts, "Machine", s.setup.machine);
  add(facts, "Tool", s.setup.tool);
  add(facts, "Hold", s.setup.hold);
  add(facts, "Material", s.setup.material);
  if (record.cards.empty()) return facts;
  const auto& card = record.cards.front();
  add(facts, "Flutes", fmt::format("{}", card.flutes));
  const auto length = [&](const char* name, const std::optional<double>& mm) {
    if (mm) add(facts, name, length_words(*mm, inches));
  };
  length("Diameter", card.diameter_mm);
  length("Radial depth", card.radial_mm);
  length("Axial depth", card.depth_mm);
  add(facts, "Milling", card.milling);
  add(facts, "Programmed", speed_words(card.programmed_rpm, card.feed_mm_min, inches));
  if (card.feed_mm_min && card.flutes > 0)
    add(facts, "Feed per tooth", length_words(*card.feed_mm_min / card.programmed_rpm / static_cast<double>(card.flutes), inches));
  if (card.diameter_mm) add(facts, "Surface speed, programmed", surface_words(cutting::surface_speed_m_min(*card.diameter_mm, card.programmed_rpm), inches));
  std::string speeds;
  const journal::CardRow* before = nullptr;
  for (const auto& c : record.cards) {
    speeds += fmt::format("{}{:.0f} rev/min ({:.4g} %) from {:.1f} s", speeds.empty() ? "" : "; ", c.entered_rpm, c.override_percent, c.t_s);
    if (before != nullptr) speeds += changes_of(record, *before, c, inches);
    before = &c;
  }
  add(facts, "Entered at the control", speeds);
  add(facts, "Slowest allowed", card.min_rpm, "rev/min");
  add(facts, "Fastest of the spindle", card.max_rpm, "rev/min");
  add(facts, "Fastest of tool and holder", card.tool_max_rpm, "rev/min");
  for (const auto& tap : record.taps)
    add(facts, tap.of_machine ? "Tapped on the machine" : tap.of_part ? "Tapped on the part" : "Tapped on the tool",
        fmt::format("{:.1f} Hz{}", tap.hz, tap.damping_ratio ? fmt::format(", damping ratio {:.4f}", *tap.damping_ratio) : ""));
  return facts;
}

report::EpisodePart episode_part(const journal::SessionRecord& record, const journal::EpisodeRow& e, const SoundBetween* sound, bool inches) {
  report::EpisodePart part;
  const double end_s = end_of(record);
  part.title = fmt::format("{}. {:.1f} Hz, from {:.2f} s{}", e.number, e.chatter_hz, e.start_s, e.return_of ? fmt::format(", came back (first: number {})", *e.return_of) : "");
  const auto* card = card_at(record, e.alert_s);
  const double rpm = e.measured_rpm.value_or(e.entered_rpm);
  const double tooth_hz = card != nullptr ? cutting::tooth_passing_hz(rpm, static_cast<int>(card->flutes)) : 0;
  part.facts.emplace_back("Time", fmt::format("{:.2f} to {:.2f} s{}, alarm at {:.2f} s", e.start_s, e.end_s, e.open ? " (open)" : "", e.alert_s));
  part.facts.emplace_back("Speed", fmt::format("{:.0f} rev/min entered{}", e.entered_rpm, e.measured_rpm ? fmt::format(", {:.1f} heard", *e.measured_rpm) : ", not to be told from the sound"));
  if (tooth_hz > 0)
    part.facts.emplace_back("Where", e.kind == "period_doubling" ? fmt::format("at half the tooth frequency (teeth pass at {:.1f} Hz)", tooth_hz)
                                                                : fmt::format("{:.2f} times the tooth frequency of {:.1f} Hz", e.chatter_hz / tooth_hz, tooth_hz));
  part.facts.emplace_back("Strength", fmt::format("{:.0f} % of the cut's sound, peak {:.1f} dBFS, confidence {:.0f} %", 100 * e.chatter_share, e.peak_dbfs, 100 * e.confidence));
  const auto as = live::advised_as(record, e.number);
  if (as) part.advice.push_back(fmt::format("What was advised is the same as at number {}.", *as));
  double told_s = -1;
  for (const auto& a : record.advice) {
    if (a.episode_number != e.number || as) continue;
    if (told_s >= 0 && a.t_s != told_s) part.advice.push_back(fmt::format("Later, at {:.1f} s:", a.t_s));
    told_s = a.t_s;
    if (a.spindle_rpm && a.direction != "knob")
      part.advice.push_back(fmt::format("{}{}: {}{}{}", a.direction == "lower" ? "Lower" : "Higher", a.first ? ", to be tried first" : "", speed_words(*a.spindle_rpm, a.feed_mm_min, inches),
                                        a.override_percent ? fmt::format(", override {:.1f} %", *a.override_percent) : "", likely(a.likelihood)));
    else if (a.direction == "knob" && a.knob_percent)
      part.advice.push_back(fmt::format("With whole steps of the knob alone: {:.4g} %{}", *a.knob_percent, likely(a.likelihood)));
    else if (a.direction == "reason" || a.direction == "taps" || a.direction == "caution")
      part.advice.push_back(inches ? in_inches(a.text) : a.text);
  }
  if (sound == nullptr) return part;
  auto found = (*sound)(std::max(0.0, e.start_s - kBeforeS), std::min(std::max(e.end_s + 0.5, e.alert_s + 1), std::min(e.alert_s + kAfterS, std::max(end_s, e.alert_s + 0.5))));
  part.no_sound = found.why_not;
  if (found.sound) {
    found.sound->alert_s = e.alert_s;
    found.sound->chatter_hz = e.chatter_hz;
    found.sound->tooth_hz = tooth_hz;
    part.sound = std::move(found.sound);
  }
  return part;
}

// A kept session has the warning's code, a review its words.
std::string words_of_warning(const std::string& text) {
  for (int i = 0; i <= static_cast<int>(listen::Warning::automatic_gain); ++i) {
    const auto warning = static_cast<listen::Warning>(i);
    if (listen::word(warning) == text) return warning_text(warning, {});
  }
  return text;
}

// The F word that keeps the programmed chip load.
std::optional<double> feed_at(const journal::SessionRecord& record, double t_s, double spindle_rpm) {
  const auto* card = card_at(record, t_s);
  if (card == nullptr || !card->feed_mm_min || !(card->programmed_rpm > 0)) return std::nullopt;
  return *card->feed_mm_min * spindle_rpm / card->programmed_rpm;
}

void add_trials(const journal::SessionRecord& record, report::Content& content, bool inches) {
  if (record.trials.empty()) return;
  content.trials.push_back({"No", "Time", "Speed", "What became of it", "Without chatter", "Chatter", "Tone before", "Tone after"});
  const auto db = [](const std::optional<double>& level) { return level ? fmt::format("{:.1f} dBFS", *level) : std::string(); };
  for (const auto& t : record.trials) {
    const auto feed = feed_at(record, t.to_s, t.spindle_rpm);
    content.trials.push_back({std::to_string(t.number), fmt::format("{:.1f} to {:.1f} s", t.from_s, t.to_s), speed_words(t.spindle_rpm, feed, inches), t.text.empty() ? trial_word(t.outcome) : t.text,
                              t.quiet_s ? fmt::format("{:.1f} s", *t.quiet_s) : "", t.chatter_hz ? fmt::format("{:.0f} Hz", *t.chatter_hz) : "",
                              db(t.before_dbfs), db(t.after_dbfs)});
    if (t.outcome == "held")
      content.held.push_back(fmt::format("{} held: no chatter through {:.1f} s of cut{}", speed_words(t.spindle_rpm, feed, inches), t.quiet_s.value_or(0),
                                         feed ? " (the F word keeps the programmed chip load)" : ""));
  }
}

// Speeds against places, and the highest that held everywhere.
void add_speeds(const journal::SessionRecord& record, report::Content& content, bool inches) {
  std::vector<std::string> places;
  for (const auto& s : record.speeds)
    if (!s.place.empty() && std::find(places.begin(), places.end(), s.place) == places.end()) places.push_back(s.place);
  if (record.speeds.size() < 2) return;
  content.speeds.push_back({"Speed", places.empty() ? "What became of it" : "All of the cut"});
  for (const auto& place : places) content.speeds.back().push_back(place);
  const journal::SpeedRow* best = nullptr;
  for (const auto& s : record.speeds) {
    const std::string quiet = s.quiet_s && *s.quiet_s > 0 ? fmt::format(", {:.1f} s without chatter", *s.quiet_s) : std::string();
    if (s.place.empty()) {
      content.speeds.push_back({speed_words(s.spindle_rpm, feed_at(record, 1e12, s.spindle_rpm), inches), trial_word(s.outcome) + quiet});
      if (s.holds_everywhere) best = &s;
    } else {
      const bool cut = s.quiet_s.value_or(0) + s.chatter_s.value_or(0) > 0;
      content.speeds.back().push_back(cut ? trial_word(s.outcome) + quiet : "not cut");
    }
  }
  content.best_speed = best == nullptr ? std::string("No speed has been shown to hold ") + (places.empty() ? "yet." : "in every place that was named.")
                                       : fmt::format("The highest speed that held{}: {}.", places.empty() ? "" : " in every place that was named",
                                                     speed_words(best->spindle_rpm, feed_at(record, 1e12, best->spindle_rpm), inches));
}

// Why nothing counts as held although it may have been quiet.
std::string none_held(const journal::SessionRecord& record) {
  // A place that held says nothing of the rest, and must not be contradicted.
  std::string places;
  for (const auto& s : record.speeds)
    if (!s.place.empty() && s.outcome == "held") places += fmt::format("{}S{:.0f} held at the {}", places.empty() ? "" : ", ", s.spindle_rpm, s.place);
  if (!places.empty()) return "No speed was proved over the whole cut; by places " + places + ".";
  for (auto t = record.trials.rbegin(); t != record.trials.rend(); ++t)
    if (t->outcome == "not_enough" && t->quiet_s.value_or(0) >= 1)
      return fmt::format("None was proved. S{:.0f}: {}.", t->spindle_rpm, t->text.empty() ? trial_word(t->outcome) : first_part(t->text));
  return "None was proved: that takes at least three seconds of cut without chatter, and on the dashboard a whole marked lap or pass.";
}

// For a machinist who was not there.
const char* const kWords[] = {
    "Chatter: tool or part swings by itself, off the teeth's beat. Its family is the tone with all tones that stand as far from a tooth multiple.",
    "Tooth frequency: spindle speed times flutes over 60. Levels are in dB below full scale of the recording: -20 is quieter than -10.",
    "Held: enough cut without chatter at that speed, not counting the first second after the change. Came back: quiet cut, then chatter again."};

}  // namespace

report::Content report_content(const journal::SessionRecord& record, const SoundBetween& sound) {
  report::Content content;
  const auto& s = record.session;
  const bool inches = speaks_inches(s.settings);
  const std::string what = !s.job.empty() ? s.job : !s.setup.tool.empty() ? s.setup.tool : s.source;
  content.title = "Cut report: " + what;
  const std::string when = s.started_utc.empty() ? std::string() : journal::local_text(s.started_utc, s.utc_offset_min);
  content.subtitle = s.id > 0 ? fmt::format("Session {} of {}, {:.1f} s of sound", s.id, when, end_of(record)) : fmt::format("{}, {:.1f} s of sound", s.source, end_of(record));
  content.verdict = verdict_of(record);
  content.cut = cut_facts(record, inches);

  content.timeline.to_s = end_of(record);
  for (const auto& cut : record.cuts) content.timeline.cuts.push_back({cut.start_s, cut.end_s.value_or(content.timeline.to_s)});
  for (const auto& e : record.episodes) content.timeline.chatter.push_back({e.start_s, e.end_s, e.chatter_hz});
  for (const auto& card : record.cards) content.timeline.speeds.push_back({card.t_s, card.entered_rpm});

  std::size_t shown = 0;
  for (const auto& e : record.episodes) {
    if (shown == kMostListed) break;
    content.episodes.push_back(episode_part(record, e, shown < kMostPictured ? &sound : nullptr, inches));
    ++shown;
  }
  if (record.episodes.size() > kMostPictured)
    content.more_episodes = fmt::format("{} times of chatter in all; pictures of the first {}, figures of the first {}. The journal has them all: hushmill journal export episodes --session {}.",
                                        record.episodes.size(), kMostPictured, std::min(kMostListed, record.episodes.size()), s.id);
  add_trials(record, content, inches);
  add_speeds(record, content, inches);
  if (content.held.empty() && !record.cuts.empty()) content.held.push_back(none_held(record));
  if (!record.episodes.empty()) content.words.assign(std::begin(kWords), std::end(kWords));

  for (const auto& a : record.advice) {
    if (a.direction != "other" && a.direction != "note") continue;
    const auto words = inches ? in_inches(a.text) : a.text;
    if (std::find(content.other.begin(), content.other.end(), words) == content.other.end()) content.other.push_back(words);
  }
  for (const auto& event : record.events) {
    if (event.kind == "warning") content.warnings.push_back(words_of_warning(event.text));
    if (event.kind == "sound_lost") content.warnings.push_back(fmt::format("Sound was lost on its way at {:.1f} s: {}.", event.t_s, event.text));
    if (event.kind == "sound_not_kept") content.warnings.push_back(fmt::format("The disk was too slow at {:.1f} s, the recording has silence there: {}.", event.t_s, event.text));
  }
  if (s.id > 0 && s.ended_utc.empty()) content.warnings.push_back("The session has no end in the journal: it is still on, or it was broken off (then its last second may be missing, and its last trial is told as far as it had come).");
  for (const auto& note : record.notes) content.notes.push_back(note.text);
  const std::string cautions = kCautions;
  for (std::size_t at = 0; at < cautions.size();) {
    const auto end = std::min(cautions.find('\n', at), cautions.size());
    if (end > at) content.cautions.push_back(cautions.substr(at, end - at));
    at = end + 1;
  }
  content.cautions.push_back("The advice is for the cut that was heard: a speed that is quiet on the wall may chatter in a corner.");

  add(content.made, "Program", "Hushmill " + s.program_version);
  add(content.made, "Sound", fmt::format("{} ({}), {:.0f} Hz", s.source, s.source_kind, s.sample_rate_hz));
  add(content.made, "Settings", s.settings);
  for (const auto& r : record.recordings)
    add(content.made, "Recording", fmt::format("{}, from {:.1f} s{}{}", r.path, r.from_s, r.sha256.empty() ? ", not closed" : ", SHA-256 " + r.sha256,
                                               r.missing_samples > 0 ? fmt::format(", {} samples missing", r.missing_samples) : ""));
  content.footer = fmt::format("Hushmill {}. Advice only; the cautions stand in this report.", s.program_version);
  return content;
}

journal::SessionRecord record_of(const Review& review, const CutOptions& cut, const std::string& settings) {
  journal::SessionRecord record;
  auto& s = record.session;
  s.heard_s = review.duration_s;
  s.source_kind = "recording";
  s.source = review.file;
  s.sample_rate_hz = review.sample_rate_hz;
  s.program_version = HUSHMILL_VERSION;
  s.settings = settings;
  const auto card = cut.card();
  record.cards.push_back(live::card_row(0, card));
  for (const auto& change : cut.rpm_at) {
    auto changed = card;
    changed.override_percent = 100 * change.value / card.programmed_rpm;
    record.cards.push_back(live::card_row(change.at_s, changed));
  }
  const auto& findings = review.findings;
  for (const auto& c : findings.cuts) record.cuts.push_back({static_cast<std::int64_t>(record.cuts.size()) + 1, c.start_s, c.end_s});
  for (const auto& e : findings.episodes)
    record.episodes.push_back(live::episode_row(static_cast<std::int64_t>(record.episodes.size()) + 1, e, findings));
  if (!record.episodes.empty()) record.advice = live::advice_rows(record.episodes.back().number, record.episodes.back().alert_s, review.advice);
  for (const auto& kept : live::trials_kept(review.trials))
    record.trials.push_back(live::trial_row(kept, card));
  record.speeds = live::speed_rows(review.speeds);
  for (const auto& tap : cut.taps) {
    journal::TapRow row;
    row.of_part = tap.of_part;
    row.hz = tap.hz;
    record.taps.push_back(row);
  }
  for (const auto warning : findings.warnings) {
    journal::EventRow row;
    row.t_s = review.duration_s;
    row.kind = "warning";
    row.text = warning_text(warning, findings);
    record.events.push_back(row);
  }
  return record;
}

}  // namespace hushmill::app
