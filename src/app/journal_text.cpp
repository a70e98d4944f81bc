#include "app/journal_text.hpp"

#include <fmt/format.h>

#include "app/warning_texts.hpp"
#include "capture/errors.hpp"
#include "journal/utc.hpp"

namespace hushmill::app {

namespace {
// What a person typed may hold anything: one line, no control characters.
std::string clean(const std::string& text) {
  const auto quoted = capture::in_quotes(text);
  return quoted.substr(1, quoted.size() - 2);
}

std::string length_text(const journal::SessionRow& session) {
  if (!session.heard_s) return "not ended";
  const auto seconds = static_cast<long long>(*session.heard_s + 0.5);
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

std::string words_of(const journal::AdviceRow& advice) {
  if (!advice.spindle_rpm) return clean(advice.text);
  std::string text = fmt::format("S{:.0f}", *advice.spindle_rpm);
  if (advice.feed_mm_min) text += fmt::format(" F{:.0f}", *advice.feed_mm_min);
  if (advice.override_percent) text += fmt::format(", override {:.1f} %", *advice.override_percent);
  if (advice.likelihood) text += fmt::format(", {:.0f} % likely quiet", 100 * *advice.likelihood);
  return text + (advice.first ? " (first)" : "");
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
  std::string text = fmt::format("Session {}, begun {}, {}\n", s.id, journal::local_text(s.started_utc, s.utc_offset_min), length_text(s));
  if (!s.job.empty()) text += "Job      " + clean(s.job) + "\n";
  for (const auto& [name, value] : {std::pair{"Machine", s.setup.machine}, {"Tool", s.setup.tool}, {"Hold", s.setup.hold}, {"Material", s.setup.material}})
    if (!value.empty()) text += fmt::format("{:<8} {}\n", name, clean(value));
  text += fmt::format("Heard    {} ({}), {:.0f} Hz, Hushmill {}\n", clean(s.source), s.source_kind, s.sample_rate_hz, s.program_version);
  for (const auto& c : record.cards)
    text += fmt::format("Speed    {:8.2f} s  {:.0f} rev/min (S{:.0f} at {:.4g} %), {} flutes\n", c.t_s, c.entered_rpm, c.programmed_rpm, c.override_percent, c.flutes);
  for (const auto& c : record.cuts)
    text += c.end_s ? fmt::format("Cut      {:8.2f} to {:8.2f} s\n", c.start_s, *c.end_s) : fmt::format("Cut      {:8.2f} s, its end was not kept\n", c.start_s);
  for (const auto& e : record.episodes) {
    text += fmt::format("Chatter  {:8.2f} to {:8.2f} s{}  {:.1f} Hz at {:.0f} rev/min, {:.0f} % of the cut's sound{}\n", e.start_s, e.end_s,
                        e.open ? " (still on)" : "", e.chatter_hz, e.entered_rpm, 100 * e.chatter_share,
                        e.return_of ? fmt::format(", came back (first: number {})", *e.return_of) : "");
    for (const auto& a : record.advice)
      if (a.episode_number == e.number) text += fmt::format("         {:<7} {}\n", a.direction, words_of(a));
  }
  for (const auto& t : record.trials)
    text += fmt::format("Trial    {:8.2f} to {:8.2f} s  {:.0f} rev/min: {}{}\n", t.from_s, t.to_s, t.spindle_rpm, t.outcome == "not_enough" ? "not enough cut to tell" : t.outcome,
                        t.quiet_s ? fmt::format(", quiet for {:.1f} s of the cut", *t.quiet_s) : "");
  for (const auto& t : record.taps)
    text += fmt::format("Tap      {:.1f} Hz on the {}{}\n", t.hz, t.of_part ? "part" : "tool", t.damping_ratio ? fmt::format(", damping ratio {:.4f}", *t.damping_ratio) : "");
  for (const auto& n : record.notes) text += "Note     " + clean(n.text) + "\n";
  text += recordings_text(record.recordings);
  return record.advice.empty() ? text : text + kCautions;
}

std::string recordings_text(const std::vector<journal::RecordingRow>& recordings) {
  std::string text;
  for (const auto& r : recordings)
    text += fmt::format("Sound    {:4}  session {}, from {:.1f} s{}, {}{}  {}\n", r.id, r.session_id, r.from_s,
                        r.to_s ? fmt::format(" to {:.1f} s", *r.to_s) : "", r.kind, r.pinned ? ", pinned" : "", clean(r.path));
  return text;
}

}  // namespace hushmill::app
