// The speed ladder: a vertical scale of spindle speed with the knob's steps on one side and the stable pockets on the
// other, barred zones, pointers, advice arrows and the marks of the speeds tried. Pure; places are speeds, not pixels.
#pragma once

#include <optional>
#include <vector>

#include "dashboard/advice_view.hpp"
#include "dashboard/axis.hpp"
#include "dashboard/tone.hpp"
#include "dashboard/words.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

struct KnobStep {
  double rpm = 0;
  double percent = 0;
  bool present = false;  ///< the knob stands here
};

/// As lopsided as the adviser says: from and to are its edges, peak its best speed. Without edges only a tick.
struct Pocket {
  double from_rpm = 0;
  double peak_rpm = 0;
  double to_rpm = 0;
  bool width_known = false;
  double reach = 1;  ///< how far it stands out, 0 to 1: the likelihood
  Tone tone = Tone::neutral;
  bool first = false;
  bool by_tap = false;   ///< likely quiet by a tap, of the tool or …
  bool hollow = false;   ///< … of part or machine
  Words label;  ///< "80 % likely"; by a tap "8 865 tool"
  Words warning;
};

struct Barred {
  double from_rpm = 0;
  double to_rpm = 0;
  Words label;
};

struct TrialMark {
  double rpm = 0;
  advise::Outcome outcome = advise::Outcome::held;  ///< the worst that this speed showed on the present cut
};

struct AdviceArrow {
  double from_rpm = 0;
  double to_rpm = 0;
  bool first = false;
};

struct LadderView {
  Axis rpm;  ///< upward
  Few<KnobStep, 220> knob;
  Few<Pocket, 96> pockets;
  Few<Barred, 2> barred;
  Few<TrialMark, 64> trials;
  Few<AdviceArrow, 2> arrows;
  double entered_rpm = 0;
  std::optional<double> measured_rpm;
  double pointer_rpm = 0;  ///< where the pointer stands: measured, else entered
  Tone pointer_tone = Tone::neutral;
  Words pointer_label;  ///< "heard 5 983" or "entered 6 000, not heard"
};

/// `speeds`: the table of the state's trials.
LadderView prepare_ladder(const live::State& state, const AdviceView& advice, const trial::SpeedTable& speeds);
inline LadderView prepare_ladder(const live::State& state, const AdviceView& advice) {
  return prepare_ladder(state, advice, trial::speed_table(state.trials));
}

}  // namespace hushmill::dashboard
