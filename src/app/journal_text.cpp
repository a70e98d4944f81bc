#include "app/journal_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "app/inch_words.hpp"
#include "app/warning_texts.hpp"
#include "journal/utc.hpp"
#include "live/journal_rows.hpp"
#include "text/outside_text.hpp"

namespace hushmill::app {

namespace {
// What a person typed may hold anything: one line, no control characters, and all of it.
std::string clean(const std::string& text) {
  auto line = text::clean_lines(text);
  std::replace(line.begin(), line.end(), '\n', ' ');
  return line;
}

// A remark keeps its lines, each under the first.
std::string note_text(const journal::NoteRow& note) {
  std::string text = "Note     " + (note.t_s ? fmt::format("{:8.2f} s  ", *note.t_s) : std::string());
  const std::string indent(text.size(), ' ');
  for (const char c : text::clean_lines(note.text)) text += c == '\n' ? "\n" + indent : std::string(1, c);
  return text + "\n";
}

std::string length_text(const journal::SessionRow& session) {
  if (!session.heard_s) return "no end";
  const auto seconds = std::llround(*session.heard_s);
  return seconds < 60 ? fmt::format("{} s", seconds)
         : seconds < 3600 ? fmt::format("{}:{:02} min", seconds / 60, seconds % 60)
                          : fmt::format("{}:{:02} h", seconds / 3600, seconds / 60 % 60);
}

std::string what_text(const journal::SessionRow& session) {
  std::string text;
  for (const auto& part : {session.job, session.setup.tool, session.setup.material, session.setup.machine, session.source})
    if (!part.empty()) text += (text.empty() ? "" : ", ") + clean(part);
  return text;
}

std::string words_of(const journal::AdviceRow& advice, bool inches) {
  if (!advice.spindle_rpm) return inches ? in_inches(clean(advice.text)) : clean(advice.text);
  std::string text = fmt::format("S{:.0f}", *advice.spindle_rpm);
  if (advice.feed_mm_min) text += " " + feed_words(*advice.feed_mm_min, inches);
  if (advice.override_percent) text += fmt::format(", override {:.1f} %", *advice.override_percent);
  if (advice.likelihood) text += fmt::format(", {:.0f} % likely quiet", 100 * *advice.likelihood);
  return text + (advice.first ? " (first)" : "");
}

std::string trial_words(const std::string& outcome) {
  return outcome == "not_enough" ? "not enough cut to tell" : outcome == "returned" ? "came back" : outcome;
}

// What happened beside cuts, chatter and speeds, which have lines of their own.
std::string words_of(const journal::EventRow& event) {
  const std::string text = clean(event.text);
  if (event.kind == "lap_marked") return "lap or pass marked";
  if (event.kind == "place") return event.text.empty() ? "no place is named any more" : "cutting the " + text;
  if (event.kind == "heard_taken") return "the heard speed was taken for the entered one";
  if (event.kind == "tried_before") return "counts as tried before: " + text;
  if (event.kind == "tool" || event.kind == "setup") return "taken up: " + text;
  if (event.kind == "listening_paused") return "listening rested, for a replay";
  if (event.kind == "listening_goes_on") return "listening went on";
  if (event.kind == "sound_lost") return "sound was lost on its way: " + text;
  if (event.kind == "sound_not_kept") return "the disk was too slow, silence in the recording: " + text;
  if (event.kind == "warning") return "warning: " + text;
  if (event.kind == "foreign_tone" && event.hz) return fmt::format("foreign tone at {:.0f} Hz", *event.hz);
  if (event.kind == "forced_vibration" && event.number) return fmt::format("forced vibration, tooth multiple {}", *event.number);
  if (event.kind == "other_speed_fits") return "another speed or flute count fits the sound better";
  return {};
}
}  // namespace

std::string to_text(const std::vector<journal::SessionLine>& sessions) {
  if (sessions.empty()) return "The journal has no such session.\n";
  std::string text = "  No  begun (local time)         heard       cuts  chatter  recordings  what\n";
  for (const auto& line : sessions)
    text += fmt::format("{:4}  {}  {:>10}  {:6}  {:7}  {:10}  {}\n", line.session.id,
                        journal::local_text(line.session.started_utc, line.session.utc_offset_min), length_text(line.session), line.cuts,
                        line.episodes, line.recordings, what_text(line.session));
  return text;
}

std::string to_text(const journal::SessionRecord& record) {
  const auto& s = record.session;
  const bool inches = speaks_inches(s.settings);
  std::string text = fmt::format("Session {}, begun {}, {}\n", s.id, journal::local_text(s.started_utc, s.utc_offset_min), length_text(s));
  if (!s.job.empty()) text += "Job      " + clean(s.job) + "\n";
  for (const auto& [name, value] : {std::pair{"Machine", s.setup.machine}, {"Tool", s.setup.tool}, {"Hold", s.setup.hold}, {"Material", s.setup.material}})
    if (!value.empty()) text += fmt::format("{:<8} {}\n", name, clean(value));
  text += fmt::format("Heard    {} ({}), {:.0f} Hz, Hushmill {}\n", clean(s.source), s.source_kind, s.sample_rate_hz, s.program_version);
  if (!s.settings.empty()) text += "Options  " + clean(s.settings) + "\n";
  for (const auto& c : record.cards) {
    text += fmt::format("Speed    {:8.2f} s  {:.0f} rev/min (S{:.0f} at {:.4g} %), {} flute{}", c.t_s, c.entered_rpm, c.programmed_rpm, c.override_percent, c.flutes,
                        c.flutes == 1 ? "" : "s");
    if (c.diameter_mm) text += ", " + length_words(*c.diameter_mm, inches);
    if (c.depth_mm) text += ", " + length_words(*c.depth_mm, inches) + " deep";
    if (c.radial_mm) text += ", " + length_words(*c.radial_mm, inches) + " wide";
    if (!c.milling.empty()) text += ", " + c.milling;
    if (c.feed_mm_min) text += ", " + feed_words(*c.feed_mm_min, inches);
    text += "\n";
  }
  for (const auto& c : record.cuts)
    text += c.end_s ? fmt::format("Cut      {:8.2f} to {:8.2f} s\n", c.start_s, *c.end_s) : fmt::format("Cut      {:8.2f} s, its end was not kept\n", c.start_s);
  for (const auto& e : record.episodes) {
    text += fmt::format("Chatter  {:8.2f} to {:8.2f} s{}  {:.1f} Hz at {:.0f} rev/min, {:.0f} % of the cut's sound{}\n", e.start_s, e.end_s,
                        e.open ? " (still on)" : "", e.chatter_hz, e.entered_rpm, 100 * e.chatter_share,
                        e.return_of ? fmt::format(", came back (first: number {})", *e.return_of) : "");
    const auto as = live::advised_as(record, e.number);
    if (as) text += fmt::format("         advice as for number {}\n", *as);
    double told_s = -1;
    for (const auto& a : record.advice) {
      if (a.episode_number != e.number || as) continue;
      if (a.t_s != told_s) text += fmt::format("         at {:.2f} s:\n", told_s = a.t_s);
      text += fmt::format("         {:<7} {}\n", a.direction, words_of(a, inches));
    }
  }
  for (const auto& t : record.trials)
    text += fmt::format("Trial {:2} {:8.2f} to {:8.2f} s  S{:.0f}{}: {}\n", t.number, t.from_s, t.to_s, t.spindle_rpm, t.feed_mm_min ? " " + feed_words(*t.feed_mm_min, inches) : std::string(),
                        !t.text.empty() ? clean(t.text)
                        : t.outcome == "not_enough" ? trial_words(t.outcome)
                                                    : trial_words(t.outcome) + (t.quiet_s ? fmt::format(", quiet for {:.1f} s of the cut", *t.quiet_s) : ""));
  for (const auto& one : record.speeds)
    text += fmt::format("Speed    S{:.0f}{}: {}{}\n", one.spindle_rpm, one.place.empty() ? std::string(" anywhere") : " at the " + clean(one.place), trial_words(one.outcome),
                        one.holds_everywhere && one.place.empty() ? " (the highest that held everywhere)" : "");
  for (const auto& e : record.events)
    if (const auto words = words_of(e); !words.empty()) text += fmt::format("Event    {:8.2f} s  {}\n", e.t_s, words);
  for (const auto& t : record.taps)
    text += fmt::format("Tap      {:.1f} Hz on the {}{}\n", t.hz, t.of_machine ? "machine" : t.of_part ? "part" : "tool", t.damping_ratio ? fmt::format(", damping ratio {:.4f}", *t.damping_ratio) : "");
  for (const auto& n : record.notes) text += note_text(n);
  text += recordings_text(record.recordings);
  return record.advice.empty() ? text : text + kCautions;
}

std::string recordings_text(const std::vector<journal::RecordingRow>& recordings) {
  std::string text;
  for (const auto& r : recordings)
    text += fmt::format("Sound    {:4}  session {}, from {:.1f} s{}, {}{}  {}\n", r.id, r.session_id, r.from_s,
                        r.to_s ? fmt::format(" to {:.1f} s", *r.to_s) : "",
                        r.kind + (r.bytes ? fmt::format(", {:.1f} MB", static_cast<double>(*r.bytes) / 1e6) : "") +
                            (r.missing_samples > 0 ? fmt::format(", {} samples missing", r.missing_samples) : "") +
                            (r.sha256.empty() ? ", not closed" : ", SHA-256 " + r.sha256.substr(0, 12)),
                        r.pinned ? ", pinned" : "", clean(r.path));
  return text;
}

}  // namespace hushmill::app
