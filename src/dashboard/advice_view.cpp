#include "dashboard/advice_view.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/numbers.hpp"
#include "trial/speed_table.hpp"

namespace hushmill::dashboard {
namespace {

using listen::Verdict;

/// How a speed fared on the present cut by the trials; none when it was not tried, or too little was heard.
std::optional<trial::Outcome> outcome_at(const trial::SpeedTable& speeds, double rpm) {
  for (const trial::SpeedRow& row : speeds.rows)
    if (std::abs(row.spindle_rpm - rpm) <= 0.005 * rpm && row.outcome != trial::Outcome::not_enough) return row.outcome;
  return std::nullopt;
}

/// The trial that goes on at the entered speed, or null.
const trial::Trial* running_trial(const live::State& state) {
  if (state.trials.empty()) return nullptr;
  const trial::Trial& last = state.trials.back();
  const double entered_rpm = state.card.entered_rpm();
  const bool here = std::abs(last.spindle_rpm - entered_rpm) <= 0.005 * entered_rpm;
  return last.running && last.believed() && here ? &last : nullptr;
}

std::optional<AdviceLine> line_for(const std::optional<advise::Candidate>& candidate, advise::Direction direction,
                                   const live::State& state, const Session& session, Units units,
                                   const trial::SpeedTable& speeds) {
  if (!candidate || !(candidate->spindle_rpm > 0)) return std::nullopt;
  AdviceLine line;
  line.candidate = *candidate;
  line.direction = direction;
  const double entered_rpm = state.card.entered_rpm();
  line.move = describe_move(*candidate, state.card, units, std::abs(session.chattered_rpm() - entered_rpm) <= 0.005 * entered_rpm);
  line.likelihood =
      line.move.by_knob && candidate->knob_likelihood ? candidate->knob_likelihood : candidate->likelihood;
  if (line.move.beyond_limit) {
    const auto upper = upper_limit(state.card);
    line.warning = upper && line.move.target_rpm > upper->rpm
                       ? "above the " + upper->name + ", " + grouped(upper->rpm) + ": do not use"
                       : "below the spindle's least: do not use";
  } else if (const auto outcome = outcome_at(speeds, line.move.target_rpm)) {  // the trials' panel says the same
    if (*outcome != trial::Outcome::held)
      line.warning = *outcome == trial::Outcome::returned ? "chatter came back there" : "chattered there before";
  }
  if (const SpeedTried* tried = session.tried(line.move.target_rpm);
      line.warning.empty() && tried && tried->episodes > 0)
    line.warning = tried->returned ? "chatter came back there" : "chattered there before";
  for (const advise::Trial& earlier : state.tried)
    if (line.warning.empty() && !outcome_at(speeds, line.move.target_rpm) && earlier.outcome != advise::Outcome::held && std::abs(line.move.target_rpm / earlier.spindle_rpm - 1) < 0.005)
      line.warning = earlier.outcome == advise::Outcome::returned ? "chatter came back there" : "chattered there before";
  if (!line.warning.empty()) line.move.likely.clear();  // "worth a try" beside "chattered there" would be two answers
  return line;
}

Words beyond_words(const live::CutCard& card) {
  const double entered_rpm = card.entered_rpm();
  if (const auto upper = upper_limit(card); upper && entered_rpm > upper->rpm * 1.0001)
    return grouped(entered_rpm) + " is above the " + upper->name + ", " + grouped(upper->rpm) + ": turn the speed DOWN.";
  if (card.min_rpm && entered_rpm < *card.min_rpm * 0.9999)
    return grouped(entered_rpm) + " is below the spindle's least, " + grouped(*card.min_rpm) + ": turn the speed UP.";
  return {};
}

Words idle_words(Verdict verdict, bool chattered, const SpeedTried* here, const AdviceView& view) {
  if (verdict == Verdict::forced_vibration)
    return "This is no chatter: move the speed off the tooth multiple that rings, or cut with less force.";
  if (verdict == Verdict::building)
    return "Something off the teeth builds up. Should it prove to be chatter, this card says which way to turn.";
  if (!chattered) return "No chatter so far. When there is some, this card says which way to turn the speed.";
  const double quiet_s = view.quiet_s.value_or(here ? here->quiet_cut_s : 0);
  if (here && view.held)
    return "Keep " + grouped(here->entered_rpm) + ": it has held so far, no chatter in " + in_time(quiet_s) +
           " of cutting.";
  if (here && here->episodes == 0 && quiet_s > 0)
    return "Keep " + grouped(here->entered_rpm) + ": no chatter here in " + in_time(quiet_s) +
           " of cutting. It counts as held once a whole pass stays quiet.";
  if (verdict == Verdict::steady && (!here || here->episodes == 0))
    return "The speed was changed: not judged yet.";
  if (verdict == Verdict::steady)
    return "Chatter at this speed, quiet since. Nothing to turn now, but the speed has not held.";
  return "Nothing to turn at this moment.";
}

}  // namespace

AdviceView prepare_advice(const live::State& state, const Session& session, Units units,
                          const trial::SpeedTable& speeds) {
  AdviceView view;
  const Verdict verdict = state.snapshot.verdict;
  // A corner that chatters in every lap is quiet most of the time, and a tool that was pulled out is quiet, too: the
  // advice stays wanted until the speed is changed or the quiet has lasted.
  const bool chattered = session.chattered_rpm() > 0 && !state.episodes.empty();
  const double entered_rpm = state.card.entered_rpm();
  const bool same_speed = std::abs(entered_rpm - session.chattered_rpm()) <= 0.005 * entered_rpm;
  const SpeedTried* here = session.tried(entered_rpm);
  view.waiting = chattered && same_speed && here && here->unanswered();
  if (const trial::Trial* now = running_trial(state)) {
    view.quiet_s = now->quiet_run_s;
    view.held = now->outcome == trial::Outcome::held;
  }
  const auto outcome = outcome_at(speeds, entered_rpm);
  view.doubted = view.waiting || outcome == trial::Outcome::chattered || outcome == trial::Outcome::returned;
  view.beyond = beyond_words(state.card);
  view.unlimited = !upper_limit(state.card);
  view.active = verdict == Verdict::chatter || (view.waiting && verdict != Verdict::forced_vibration);
  if (!view.active) {
    view.idle = idle_words(verdict, chattered, here, view);
    if (state.other_fit && verdict != Verdict::no_cut)
      view.idle = "Heard " + grouped(state.other_fit->spindle_rpm) + ", not " + grouped(entered_rpm) +
                  ": was the knob turned? Y takes it, or correct the card.";
    if (!view.beyond.empty()) view.idle = view.beyond;
    if (verdict == Verdict::no_cut && chattered) {
      if (!here || !here->has_outcome()) view.headline = "Speed changed to " + grouped(entered_rpm) + ": try the cut.";
    }
    return view;
  }
  // What sounds now is of the speed before, and its tone moves: nothing can be said of it.
  view.turning = session.turning() && !same_speed && verdict == Verdict::chatter;
  if (view.turning) {
    view.headline = "Turned to " + grouped(entered_rpm) + ": wait for the spindle, then listen.";
    return view;
  }
  const advise::Advice* answer = session.advice_for(state);
  if (!answer) {
    view.headline = "Working out which way to turn.";
    return view;
  }
  view.reason = answer->reason;
  if (state.other_fit) {
    view.headline = "Heard " + grouped(state.other_fit->spindle_rpm) + ", not " + grouped(entered_rpm) +
                    ": Y takes it, or correct the card.";
    return view;
  }
  constexpr double kWeak = 0.3;
  const auto best = [](const std::optional<advise::Candidate>& one) { return one ? one->likelihood.value_or(1) : 0.0; };
  const bool weak = answer->speed_may_not_do || (!answer->remedies.empty() && std::max(best(answer->lower), best(answer->higher)) < kWeak);
  if (weak)
    for (const advise::Remedy& remedy : answer->remedies) view.remedies.push_back(remedy.text);
  if (!answer->notes.empty()) view.note = answer->notes.front();
  const bool tools_own = answer->part_sings == false;
  if (!answer->taps_say.empty() && (!tools_own || view.note.empty())) view.note = answer->taps_say;
  if (answer->part_sings) view.owner = tools_own ? "the tool's note" : "the part's note";
  for (const auto direction : {advise::Direction::lower, advise::Direction::higher}) {
    const auto& candidate = direction == advise::Direction::lower ? answer->lower : answer->higher;
    if (auto line = line_for(candidate, direction, state, session, units, speeds)) {
      line->first = line->warning.empty() && (!answer->prefer || *answer->prefer == direction);
      view.lines.push_back(*std::move(line));
    }
  }
  const bool none_first =
      std::none_of(view.lines.begin(), view.lines.end(), [](const AdviceLine& line) { return line.first; });
  if (!answer->prefer || none_first) {
    // No order was given, or the first choice is barred: name one only where a single usable one is left.
    const auto usable = std::count_if(view.lines.begin(), view.lines.end(),
                                      [](const AdviceLine& line) { return line.warning.empty(); });
    for (AdviceLine& line : view.lines) line.first = usable == 1 && line.warning.empty();
  }
  if (view.lines.size() == 2 && view.lines[1].first && !view.lines[0].first) std::swap(view.lines[0], view.lines[1]);
  if (view.note.empty() && view.first() && view.lines.size() == 2 && view.lines[1].warning.empty() &&
      view.lines[1].likelihood.value_or(0) > view.first()->likelihood.value_or(1) + 0.02)
    view.note = Words(view.first()->direction == advise::Direction::lower ? "Lower" : "Higher") + " first: it is nearer, and likely enough; the other way is the bigger move.";
  if (view.first() && view.first()->direction == advise::Direction::higher && !upper_limit(state.card) && answer->part_sings != true)
    view.note = "No upper limit was entered: check spindle, holder and tool before going faster.";
  if (const AdviceLine* first = view.first()) {
    const bool just_set = first->move.there_already && verdict == Verdict::chatter;
    view.headline = just_set ? "Set to " + grouped(first->move.target_rpm) + ": wait for the spindle, then listen."
                    : weak ? Words("Speed alone will probably not do: see the advice card.")
                                               : first->move.sentence;
  } else if (view.lines.empty()) {
    view.headline = "No stable speed found within the limits.";
  } else {
    view.headline = "No speed to name first: see the advice card.";
  }
  return view;
}

}  // namespace hushmill::dashboard
