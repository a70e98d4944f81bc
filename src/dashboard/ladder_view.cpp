#include "dashboard/ladder_view.hpp"

#include <algorithm>
#include <cmath>

#include "advise/candidate.hpp"
#include "cutting/speeds.hpp"
#include "dashboard/numbers.hpp"
#include "trial/speed_table.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kMostKnobPercent = 200;
constexpr int kMostKnobSteps = 220;

/// The scale shows what matters now: half to one and a quarter of the programmed speed, stretched to hold the advice.
Axis range_for(const live::State& state, const AdviceView& advice) {
  const live::CutCard& card = state.card;
  const double programmed_rpm = std::max(1.0, card.programmed_rpm);
  double low = 0.5 * programmed_rpm, high = 1.25 * programmed_rpm;
  const auto include = [&](double rpm) {
    if (!(rpm > 0) || !std::isfinite(rpm)) return;
    low = std::min(low, rpm * 0.96);
    high = std::max(high, rpm * 1.04);
  };
  include(card.entered_rpm());
  if (state.snapshot.measured_rpm) include(*state.snapshot.measured_rpm);
  for (const AdviceLine& line : advice.lines) {
    include(line.candidate.spindle_rpm);
    include(line.candidate.width_from_rpm);
    include(line.candidate.width_to_rpm);
  }
  // A limit just past the end is worth seeing; one far away is not worth the room.
  if (const auto upper = upper_limit(card); upper && upper->rpm < high * 1.1) high = std::max(high, upper->rpm * 1.04);
  return {low, high, false};
}

Pocket pocket_for(const AdviceLine& line) {
  Pocket pocket;
  pocket.peak_rpm = line.candidate.spindle_rpm;
  pocket.width_known = line.candidate.width_to_rpm > line.candidate.width_from_rpm && line.candidate.width_from_rpm > 0;
  pocket.from_rpm = pocket.width_known ? line.candidate.width_from_rpm : pocket.peak_rpm;
  pocket.to_rpm = pocket.width_known ? line.candidate.width_to_rpm : pocket.peak_rpm;
  pocket.peak_rpm = std::clamp(pocket.peak_rpm, pocket.from_rpm, pocket.to_rpm);
  pocket.reach = line.likelihood ? std::clamp(*line.likelihood, 0.15, 1.0) : 0.6;
  pocket.first = line.first;
  pocket.warning = line.warning;
  pocket.label = line.move.likely;
  if (line.likelihood) {
    pocket.tone = *line.likelihood >= 0.6 && line.warning.empty() ? Tone::normal : Tone::abnormal;
  }
  return pocket;
}

Tone pointer_tone(listen::Verdict verdict) {
  switch (verdict) {
    case listen::Verdict::chatter:
      return Tone::danger;
    case listen::Verdict::building:
    case listen::Verdict::forced_vibration:
      return Tone::abnormal;
    case listen::Verdict::steady:
      return Tone::normal;
    case listen::Verdict::no_cut:
      break;
  }
  return Tone::neutral;
}

void add_knob(LadderView& view, const live::CutCard& card) {
  const double step = card.knob_step_percent;
  if (!(step > 0) || !(card.programmed_rpm > 0)) return;
  const double first = std::ceil(100 * view.rpm.from / card.programmed_rpm / step - 1e-9);
  for (int i = 0; i < kMostKnobSteps; ++i) {
    const double percent = (first + i) * step;
    const double rpm = card.programmed_rpm * percent / 100;
    if (rpm > view.rpm.to || percent > kMostKnobPercent) break;
    // As far as the knob turns; where it stands is shown all the same.
    const bool here = std::abs(percent - card.override_percent) < 1e-6;
    if (!here && (percent < card.knob_min_percent.value_or(advise::kKnobMinPercent) - 1e-9 || percent > card.knob_max_percent.value_or(advise::kKnobMaxPercent) + 1e-9)) continue;
    view.knob.push_back({rpm, percent, std::abs(percent - card.override_percent) < 1e-6});
  }
}

void add_barred(LadderView& view, const live::CutCard& card) {
  if (const auto upper = upper_limit(card); upper && upper->rpm < view.rpm.to) {
    view.barred.push_back({std::max(upper->rpm, view.rpm.from), view.rpm.to, upper->name + " " + grouped(upper->rpm)});
  }
  if (card.min_rpm && *card.min_rpm > view.rpm.from) {
    view.barred.push_back(
        {view.rpm.from, std::min(*card.min_rpm, view.rpm.to), "spindle least " + grouped(*card.min_rpm)});
  }
}

/// Before the first chatter the taps say where pockets are likely: ticks, since without stiffness nobody knows how
/// wide.
void add_tapped(LadderView& view, const live::CutCard& card) {
  constexpr int kMostWaves = 10;  // past that too narrow to aim at (common practice, no published source)
  for (int i = 0; i < card.tap_count; ++i) {
    const live::CardTap& tap = card.taps[static_cast<std::size_t>(i)];
    for (int waves = 1; waves <= kMostWaves; ++waves) {
      Pocket pocket;
      pocket.peak_rpm = cutting::in_phase_rpm(tap.natural_hz, card.flutes, waves);
      if (!view.rpm.holds(pocket.peak_rpm)) continue;
      pocket.from_rpm = pocket.to_rpm = pocket.peak_rpm;
      pocket.reach = 1.0 / waves;
      pocket.by_tap = true;
      pocket.hollow = tap.of_part || tap.of_machine;
      pocket.label = grouped(pocket.peak_rpm) + (tap.of_machine ? " machine" : tap.of_part ? " part" : " tool");
      view.pockets.push_back(pocket);
    }
  }
}

}  // namespace

LadderView prepare_ladder(const live::State& state, const AdviceView& advice, const trial::SpeedTable& speeds) {
  LadderView view;
  view.rpm = range_for(state, advice);
  view.entered_rpm = state.card.entered_rpm();
  const auto& measured = state.snapshot.measured_rpm;
  if (measured && std::isfinite(*measured)) view.measured_rpm = measured;
  view.pointer_rpm = view.measured_rpm.value_or(view.entered_rpm);
  view.pointer_tone = pointer_tone(state.snapshot.verdict);
  // Between two corners that chatter, and at a speed whose mark here is no disc, green would claim too much.
  if ((advice.doubted || !advice.beyond.empty() || state.other_fit) && view.pointer_tone == Tone::normal) view.pointer_tone = Tone::abnormal;
  view.pointer_label =
      view.measured_rpm ? "heard " + grouped(*view.measured_rpm) : "entered " + grouped(view.entered_rpm);
  add_knob(view, state.card);
  add_barred(view, state.card);
  for (const AdviceLine& line : advice.lines) {
    view.pockets.push_back(pocket_for(line));
    // No arrow toward a speed that is barred, that chattered before, or where we are already.
    if (line.warning.empty() && !line.move.there_already) {
      view.arrows.push_back({view.entered_rpm, line.move.target_rpm, line.first});
    }
  }
  if (view.pockets.empty() && state.episode_count == 0) add_tapped(view, state.card);
  for (const trial::SpeedRow& row : speeds.rows) {
    if (row.outcome == trial::Outcome::not_enough || !view.rpm.holds(row.spindle_rpm)) continue;
    view.trials.push_back({row.spindle_rpm, row.outcome == trial::Outcome::held       ? advise::Outcome::held
                                            : row.outcome == trial::Outcome::returned ? advise::Outcome::returned
                                                                                      : advise::Outcome::chattered});
  }
  for (const advise::Trial& earlier : state.tried) {  // of another session; what was heard in this one counts more
    const bool told = std::any_of(view.trials.begin(), view.trials.end(), [&](const TrialMark& mark) { return std::abs(mark.rpm / earlier.spindle_rpm - 1) < 0.005; });
    if (!told && view.rpm.holds(earlier.spindle_rpm)) view.trials.push_back({earlier.spindle_rpm, earlier.outcome});
  }
  return view;
}

}  // namespace hushmill::dashboard
