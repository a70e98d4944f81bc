#include "app/text.hpp"

#include <fmt/format.h>

#include "app/inch_words.hpp"
#include "app/trial_text.hpp"
#include "app/warning_texts.hpp"
#include "trial/words.hpp"

namespace hushmill::app {

namespace {
std::string knob_text(const advise::Candidate& c) {
  std::string text = fmt::format("override {:.1f} %, ", c.override_percent);
  if (c.knob_leaves_pocket)
    return text + fmt::format("the knob does not stop there (nearest {:.4g} %, {}): type S{:.0f}, override at 100 %", c.knob_percent,
                              c.knob_likelihood ? fmt::format("{:.0f} % likely quiet", 100 * *c.knob_likelihood) : "no cure", c.spindle_rpm);
  text += fmt::format("nearest step of the knob {:.4g} %", c.knob_percent);
  if (c.knob_likelihood) text += fmt::format(" ({:.0f} % likely quiet)", 100 * *c.knob_likelihood);
  return text;
}

std::string candidate_text(const char* way, const std::optional<advise::Candidate>& candidate, bool inches) {
  if (!candidate) return fmt::format("  {:<7} none inside the limits\n", way);
  const auto& c = *candidate;
  std::string text = fmt::format("  {:<7} S{:.0f}", way, c.spindle_rpm);
  if (c.feed_mm_min) text += " " + feed_words(*c.feed_mm_min, inches);
  if (c.likelihood) text += fmt::format(", {:.0f} % likely quiet", 100 * *c.likelihood);
  text += fmt::format(", lobe {}", c.lobe);
  if (c.surface_m_min) text += ", " + surface_words(*c.surface_m_min, inches);
  // An unlikely speed has no pocket to speak of, and what one mode alone would promise there is no promise.
  constexpr double kUnlikely = 0.3, kNoGain = 1.05;
  if (c.likelihood.value_or(1) >= kUnlikely) {
    text += c.width_to_rpm - c.width_from_rpm >= 1 ? fmt::format("\n          pocket S{:.0f} to S{:.0f}", c.width_from_rpm, c.width_to_rpm) : "\n          width of the pocket not known";
    if (c.depth_gain >= kNoGain) text += fmt::format("; by the stability lobes of one mode {:.1f} times the depth of the worst speed is quiet there", c.depth_gain);
  }
  text += fmt::format("\n          {}", knob_text(c));
  if (c.feed_mm_min)
    text += fmt::format("\n          by override alone the chip load becomes {:.0f} % if the feed is in {} (not per tooth)", 100 * c.chip_load_ratio, inches ? "in/min" : "mm/min");
  return text + "\n";
}

std::string remedies_text(const advise::Advice& advice, bool inches) {
  if (advice.remedies.empty()) return "";
  std::string text = advice.speed_may_not_do ? "Speed alone will probably not do. Beside it, strongest first:\n"
                                             : "Beside the speed, strongest first:\n";
  int number = 1;
  for (const auto& remedy : advice.remedies)
    text += fmt::format("  {}. {}: {}\n", number++, std::string(advise::word(remedy.area)), inches ? in_inches(remedy.text) : remedy.text);
  return text;
}
}  // namespace

std::string verdict_text(listen::Verdict verdict) {
  switch (verdict) {
    case listen::Verdict::no_cut: return "no cut";
    case listen::Verdict::steady: return "steady";
    case listen::Verdict::forced_vibration: return "loud, but in step with the teeth (forced vibration)";
    case listen::Verdict::building: return "chatter may be building";
    case listen::Verdict::chatter: return "CHATTER";
  }
  return "";
}

std::string to_text(const advise::Advice& advice, bool inches) {
  std::string text = "Advice\n";
  if (advice.lower || advice.higher) {
    text += candidate_text("lower", advice.lower, inches);
    text += candidate_text("higher", advice.higher, inches);
    if (advice.prefer) text += fmt::format("  first   {}\n", std::string(advise::word(*advice.prefer)));
  }
  if (advice.knob && advice.knob->likelihood)
    text += fmt::format("  knob    with whole steps of the knob alone: {:.4g} %, S{:.0f}, {:.0f} % likely quiet\n", advice.knob->knob_percent,
                        advice.knob->knob_rpm, 100 * *advice.knob->likelihood);
  text += "  " + advice.reason + "\n";
  if (advice.natural_hz > 0)
    text += fmt::format("  One mode behind the tone would stand at {:.0f} Hz ({:.0f} to {:.0f}), if this line is the vibration itself and no neighbour in its family\n", advice.natural_hz, advice.natural_low_hz,
                        advice.natural_high_hz);
  for (const auto& note : advice.notes) text += "  Note: " + note + "\n";
  for (const auto& barred : advice.barred) text += fmt::format("  Barred: S{:.0f} by {}\n", barred.spindle_rpm, barred.by);
  if (!advice.taps_say.empty()) text += "  " + advice.taps_say + "\n";
  text += remedies_text(advice, inches);
  if (advice.cautions.empty()) return text;
  text += kCautions;
  // The adviser's first ones say what kCautions says; the rest belongs to this advice.
  for (std::size_t i = advise::kCommonCautions; i < advice.cautions.size(); ++i) text += advice.cautions[i] + "\n";
  return text;
}

const char* tone_text(const listen::ForeignTone& tone) {
  return tone.may_be_chatter ? "an unexplained tone, may be chatter" : "a tone that does not belong to this cut";
}

std::string to_text(const Review& review) {
  std::string text = fmt::format("{}: {:.1f} s at {:.0f} Hz\n", review.file.c_str(), review.duration_s, review.sample_rate_hz);
  // How it ended comes first: the verdict is of the whole recording.
  if (!review.beyond.empty()) text += review.beyond + "\n";
  const bool changed = review.trials.size() > 1 && review.verdict == listen::Verdict::chatter;
  if (changed) {
    const auto& last = review.trials.back();
    text += fmt::format("At the end: S{:.0f} {}.", last.spindle_rpm, trial::sentence(last));
    if (last.outcome == trial::Outcome::held && review.beyond.empty()) text += " Stay with it; the advice below is for the speed that chattered.";
    text += "\n";
  }
  text += (changed ? "Verdict of the whole recording: " : "Verdict: ") + verdict_text(review.verdict);
  // Chatter is found from where its lines stand to each other; in step or not depends on where the teeth are.
  if (review.findings.other_fit && review.verdict != listen::Verdict::chatter && review.verdict != listen::Verdict::no_cut)
    text += "; not to be relied on: the sound does not fit what was entered\n";
  else
    text += fmt::format(" (confidence {:.0f} %)\n", 100 * review.findings.confidence);
  text += fmt::format("Speed: entered {:.0f} rev/min", review.entered_rpm);
  text += review.measured_rpm ? fmt::format(", heard {:.1f} ± {:.1f}", *review.measured_rpm, review.rpm_uncertainty.value_or(0.0))
                              : std::string(", not to be told from the sound");
  text += fmt::format("; teeth pass at {:.1f} Hz\n", review.tooth_passing_hz);
  for (const auto& cut : review.findings.cuts) text += fmt::format("Cut      {:8.2f} to {:8.2f} s\n", cut.start_s, cut.end_s);
  for (const auto& e : review.findings.episodes)
    text += fmt::format("Chatter  {:8.2f} to {:8.2f} s{}  raised at {:.2f} s  {:.1f} Hz  {}  {:.0f} % of the cut's sound  peak {:.1f} dBFS{}\n", e.start_s, e.end_s,
                 e.open ? " (still on)" : "", e.alert_s, e.chatter_hz,
                 e.kind == listen::ChatterKind::hopf ? "between the tooth multiples" : "at half the tooth frequency", 100 * e.chatter_share,
                 e.peak_dbfs, e.return_of ? fmt::format("  came back (first: number {})", *e.return_of + 1).c_str() : "");
  for (const auto& t : review.findings.foreign_tones)
    text += fmt::format("Heard    {:8.2f} to {:8.2f} s  {:.1f} Hz  {}\n", t.start_s, t.end_s, t.hz, tone_text(t));
  for (const auto warning : review.findings.warnings) text += "Note: " + warning_text(warning, review.findings) + "\n";
  if (!review.trials.empty() && !review.findings.episodes.empty())
    if (const auto& last = review.trials.back(); last.heard_as && last.heard_as_since_s && *last.heard_as_since_s > review.findings.episodes.back().end_s)
      text += fmt::format("Note: If the knob was turned there, --rpm-at {:.1f}:{:.0f} gives the new speed a trial of its own.\n", *last.heard_as_since_s, last.heard_as->spindle_rpm);
  std::string advice = to_text(review.advice, review.inches);
  // Somebody who watched saw an earlier one, which rested on less.
  if (const auto count = review.findings.episodes.size(); count > 1 && (review.advice.lower || review.advice.higher))
    advice.insert(advice.find('\n'), fmt::format(", from the last of {} chatters", count));
  return text + to_text(review.trials, review.speeds) + advice;
}

}  // namespace hushmill::app
