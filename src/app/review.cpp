#include "app/beyond_limit.hpp"
#include "app/review.hpp"

#include <algorithm>
#include <cmath>
#include <span>
#include <string>
#include <vector>

#include "app/sides_warning.hpp"
#include "app/timed_feed.hpp"
#include "app/warning_texts.hpp"
#include "cutting/speeds.hpp"
#include "listen/listener.hpp"
#include "live/session_trials.hpp"
#include "live/why_no_advice.hpp"

namespace hushmill::app {

namespace {
constexpr std::size_t kBlock = 4096;
constexpr double kLeastRevolutions = 10;

// Reading one block may give less than was asked for; a recording gives 0 only at its end.
std::size_t read_some(capture::Source& source, std::span<float> block) {
  while (!source.ended()) {
    const std::size_t n = source.read(block);
    if (n > 0) return n;
  }
  return 0;
}

// To the millisecond: a length in samples has no end of digits.
std::string to_the_ms(double value_s) { return plain(std::round(value_s * 1000.0) / 1000.0); }

void warn(listen::Findings& findings, listen::Warning warning) {
  if (std::find(findings.warnings.begin(), findings.warnings.end(), warning) == findings.warnings.end()) findings.warnings.push_back(warning);
}

// Speeds that were entered and not heard: what the listener's own doubt did not see, the trials did.
void note_unheard(const trial::TrialBook& book, const std::vector<trial::Trial>& trials, listen::Findings& findings,
                  std::optional<listen::OtherFit>& doubted) {
  for (const auto& trial : trials) {
    if (trial.heard_as && !findings.other_fit) warn(findings, listen::Warning::other_speed_fits);
    if (!trial.speed_heard && trial.believed() && trial.quiet_s >= trial.wanted_s) warn(findings, listen::Warning::speed_not_heard);
  }
  if (findings.other_fit) return;
  findings.other_fit = book.heard_instead(findings);
  const bool after = !findings.episodes.empty() && trials.back().heard_as_since_s && findings.episodes.back().end_s < *trials.back().heard_as_since_s;
  if (!after) doubted = findings.other_fit;
}
}  // namespace

advise::Advice advice_for(const CutOptions& cut, const listen::SpeedStretch& stretch, const listen::Episode& episode,
                          const listen::Findings& findings) {
  // The same count of waves per tooth as was heard, seen at the entered speed.
  const double true_rpm = stretch.measured_rpm.value_or(stretch.entered_rpm);
  auto question = cut.question(episode.chatter_hz * stretch.entered_rpm / true_rpm);
  question.spindle_rpm = stretch.entered_rpm;
  question.growth_per_s = episode.growth_per_s > 0 ? std::optional(episode.growth_per_s) : std::nullopt;
  const auto heard = live::trials_from(findings, 0, stretch.entered_rpm);
  question.tried.insert(question.tried.end(), heard.begin(), heard.end());
  auto advice = advise::advise(question);
  for (auto* candidate : {&advice.lower, &advice.higher})
    if (*candidate && (*candidate)->lobe > 0)
      (*candidate)->plain_spindle_rpm = cutting::in_phase_rpm(episode.chatter_hz, cut.flutes, (*candidate)->lobe);
  return advice;
}

Review review(capture::Source& source, const std::string& file, const CutOptions& cut, const TrialOptions& trials) {
  const double rate = source.sample_rate_hz();
  listen::Listener listener({rate, cut.spindle_rpm, cut.comb_flutes(), cut.flutes / cut.comb_flutes()});
  trial::TrialBook book(trials.rules, trials.tags);
  TimedFeed feed(listener, book, rate, cut.rpm_at);
  std::vector<float> block(kBlock);
  for (std::size_t n = read_some(source, block); n > 0; n = read_some(source, block)) feed.hear(std::span<const float>(block).first(n));
  tell_of_sides(source, listener);
  feed.finish();

  Review result;
  result.file = file;
  result.sample_rate_hz = rate;
  result.inches = cut.inches;
  result.duration_s = static_cast<double>(feed.heard()) / rate;
  const double least_s = kLeastRevolutions * 60.0 / cut.spindle_rpm;
  if (result.duration_s < least_s)
    throw UsageError("file '" + file + "' lasts " + to_the_ms(result.duration_s) + " s; at least ten revolutions at " +
                     plain(cut.spindle_rpm) + " rev/min, " + to_the_ms(least_s) + " s, would be right");
  if (const auto* change = feed.next_change())
    throw UsageError("--rpm-at is at " + plain(change->at_s) + " s, after the end of '" + file + "'; less than " +
                     to_the_ms(result.duration_s) + " would be right");

  for (const auto& tag : trials.tags)
    if (tag.from_s >= result.duration_s)
      throw UsageError("--tag begins at " + plain(tag.from_s) + " s, after the end of '" + file + "'; less than " + to_the_ms(result.duration_s) +
                       " would be right");

  result.findings = listener.findings();
  result.trials = book.trials(result.findings);
  // What is not to be believed of the cut that chattered bars advice; a knob turned after it does not.
  auto doubted = result.findings.other_fit;
  note_unheard(book, result.trials, result.findings, doubted);
  result.speeds = trial::speed_table(result.trials);
  const auto card = cut.card();
  result.beyond = beyond_limit(result.findings.stretches.back().entered_rpm, card.min_rpm, lower_of(card.max_rpm, card.tool_max_rpm));
  const auto& first = result.findings.stretches.front();
  result.entered_rpm = first.entered_rpm;
  result.measured_rpm = first.measured_rpm;
  result.rpm_uncertainty = first.rpm_uncertainty;
  const int flutes = result.findings.other_fit ? result.findings.other_fit->flutes : cut.flutes;
  result.tooth_passing_hz = cutting::tooth_passing_hz(first.measured_rpm.value_or(first.entered_rpm), flutes);
  if (!result.findings.episodes.empty()) {
    result.verdict = listen::Verdict::chatter;
    const auto& last = result.findings.episodes.back();
    result.advice.reason = live::why_no_advice(doubted);
    if (result.advice.reason.empty()) result.advice = advice_for(cut, live::chattered_at(result.findings, last), last, result.findings);
  } else {
    result.verdict = result.findings.forced_vibration_heard ? listen::Verdict::forced_vibration
                     : result.findings.cuts.empty()         ? listen::Verdict::no_cut
                                                            : listen::Verdict::steady;
    if (result.verdict == listen::Verdict::forced_vibration) result.advice.cautions = advise::common_cautions();
    result.advice.reason = result.verdict == listen::Verdict::forced_vibration
                               ? "A tooth harmonic meets a natural frequency: the vibration is in step with the teeth, so it is no "
                                 "chatter; move the speed off that harmonic or lower the force."
                           : result.verdict == listen::Verdict::steady ? "No chatter was heard, so no other speed is advised."
                                                                       : "No cut was heard, so no speed is advised.";
    if (result.findings.other_fit && result.verdict != listen::Verdict::no_cut) {
      result.advice = {};
      result.advice.reason = live::why_no_advice(result.findings.other_fit);
    }
  }
  return result;
}

}  // namespace hushmill::app
