#include "dashboard/trials_view.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/move.hpp"
#include "dashboard/numbers.hpp"
#include "live/heard_card.hpp"
#include "trial/speed_table.hpp"

namespace hushmill::dashboard {
namespace {

using trial::Outcome;

Words seconds(double s) { return trimmed(s, s < 10 ? 1 : 0) + kThinGap + "s"; }
Words whole_seconds(double s) { return grouped(std::floor(std::max(0.0, s))) + kThinGap + "s"; }

Words now_words(const trial::Trial& trial) {
  if (trial.judged_from_s >= trial.to_s) return "settling";
  switch (trial.outcome) {
    case Outcome::held:
      return "held so far, " + whole_seconds(trial.quiet_s) + " of cut";
    case Outcome::returned:
    case Outcome::chattered: {
      Words words = trial.outcome == Outcome::returned ? "came back" : "chattered";
      if (trial.laps) return words + " every " + seconds(trial.laps->period_s);
      if (trial.quiet_run_s >= 1) words += "; quiet " + whole_seconds(trial.quiet_run_s);
      return words;
    }
    case Outcome::not_enough:
      break;
  }
  return trial.cut_s > 0 ? "quiet so far, " + whole_seconds(trial.quiet_run_s) : Words("waiting for the cut");
}

Words then_words(const trial::Trial& trial) {
  switch (trial.outcome) {
    case Outcome::held:
      return "held, " + seconds(trial.quiet_s) + " of cut";
    case Outcome::returned:
      if (trial.laps) return "came back every " + seconds(trial.laps->period_s);
      return "came back after " + seconds(trial.returns.front().after_quiet_s);
    case Outcome::chattered:
      return "chattered, " + in_hz(trial.chatter_hz);
    case Outcome::not_enough:
      break;
  }
  if (!(trial.cut_s > 0)) return "no cut";
  if (trial.pass_needed && trial.passes == 0 && trial.quiet_s >= trial.wanted_s) return "quiet " + seconds(trial.quiet_s) + ", no lap marked";
  return "quiet " + seconds(trial.quiet_s) + ", not enough";
}

TrialRow row_for(const trial::Trial& trial) {
  TrialRow row;
  row.outcome = trial.outcome;
  row.believed = trial.believed();
  row.speed = grouped(trial.spindle_rpm);
  row.words = trial.running ? now_words(trial) : then_words(trial);
  if (!row.believed) row.words = "no proof: " + grouped(trial.heard_as->spindle_rpm) + " heard";
  return row;
}

/// A speed that was only passed on the way to another one tells nothing and would fill the table.
bool passed_through(const trial::Trial& trial) {
  constexpr double kPassedS = 2;
  return trial.outcome == Outcome::not_enough && trial.to_s - trial.from_s < kPassedS;
}

Words wanted_words(const trial::Trial& trial) {
  if (trial.outcome != Outcome::not_enough || !trial.believed()) return {};
  const bool longer = trial.quiet_s < trial.wanted_s;
  const bool pass = trial.pass_needed && trial.passes == 0;
  if (!longer && !pass) return {};
  Words words = "Wanted: ";
  if (longer) words += seconds(trial.wanted_s) + " of cut";
  if (pass) words += Words(longer ? " and " : "") + "a whole lap or pass";
  return words + ".";
}

Words marks_words(const trial::Trial& trial, const live::State& state) {
  Words words;
  if (trial.pass_begun)
    words = "Lap begun; P again at its end";
  else if (trial.passes > 0)
    words = grouped(trial.passes) + (trial.passes == 1 ? " lap or pass marked" : " laps or passes marked");
  else
    words = "P marks a lap: begin, end";
  return words + kDot + (state.place ? "W: " + Words(trial::word(*state.place)) : Words("W says where"));
}

}  // namespace

TrialsView prepare_trials(const live::State& state, const trial::SpeedTable& speeds) {
  TrialsView view;
  if (state.other_fit) {
    const live::CutCard heard = live::card_as_heard(state.card, *state.other_fit);
    view.offer = "Heard " + grouped(heard.entered_rpm()) + " = " + trimmed(heard.override_percent, 1) + kThinGap + "%";
    if (heard.flutes != state.card.flutes) view.offer += ", " + grouped(heard.flutes) + " flutes";
    view.offer += ": Y takes it.";
  }
  if (state.trials.empty()) return view;
  const trial::Trial& last = state.trials.back();
  view.running = last.running;
  view.now = row_for(last);
  if (last.running) {
    view.wanted = wanted_words(last);
    view.marks = marks_words(last, state);
  }
  for (auto trial = state.trials.rbegin() + 1; trial != state.trials.rend(); ++trial)
    if (trial->set_up == last.set_up && !passed_through(*trial)) view.earlier.push_back(row_for(*trial));
  const auto upper = upper_limit(state.card);
  if (speeds.holds_everywhere_rpm && upper && *speeds.holds_everywhere_rpm > upper->rpm * 1.0001)
    view.best = grouped(*speeds.holds_everywhere_rpm) + " is above the " + upper->name;
  else if (speeds.holds_everywhere_rpm)
    view.best = Words(speeds.places.empty() ? "Highest held: " : "Held everywhere: ") + grouped(*speeds.holds_everywhere_rpm);
  else if (const auto held = std::find_if(state.tried.rbegin(), state.tried.rend(), [](const auto& one) { return one.outcome == advise::Outcome::held; }); held != state.tried.rend())
    view.best = "Held before: " + grouped(held->spindle_rpm);
  else if (speeds.rows.size() > 1)
    view.best = speeds.places.empty() ? "None has held yet." : "None has held everywhere.";
  return view;
}

}  // namespace hushmill::dashboard
