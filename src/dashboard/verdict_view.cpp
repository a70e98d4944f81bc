#include "dashboard/verdict_view.hpp"

#include <algorithm>
#include <cmath>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

using listen::Verdict;

Words since(double start_s, double now_s) {
  return "for " + in_time(std::max(0.0, now_s - start_s)) + ", since " + in_time(start_s);
}

Words times(int count) {
  return count == 1 ? "once" : count == 2 ? "twice" : counted(count) + " times";
}

const listen::Peak* loudest(const listen::Snapshot& snapshot, listen::PeakRole role) {
  const listen::Peak* best = nullptr;
  for (const listen::Peak& peak : snapshot.peaks) {
    if (peak.role == role && (!best || peak.dbfs > best->dbfs)) best = &peak;
  }
  return best;
}

void say_no_sound(VerdictView& view, const live::State& state) {
  view.word = "NO SOUND";
  view.shape = Shape::gap;
  view.tone = Tone::abnormal;
  // The device's own line is long and stands on the microphone's card; listening that was given up says why.
  const bool of_device = state.source.trouble.empty() || state.source.trouble.starts_with("microphone '");
  view.tone_line = of_device ? Words("The microphone is gone, or gives no sound.") : Words(state.source.trouble);
  view.how_line = "no verdict is given meanwhile";
  view.do_line = "Plug it in: listening then goes on by itself.";
}

void say_no_cut(VerdictView& view, const live::State& state, const AdviceView& advice) {
  view.word = "NO CUT";
  view.shape = Shape::ring;
  view.tone_line = state.episodes.empty()
                       ? "Listening. No tool in the cut."
                       : "No tool in the cut. Last chatter at " + in_hz(state.episodes.back().chatter_hz) + ".";
  view.how_line =
      state.snapshot.room_known ? "The room is known." : "Learning the room: give it a second before the cut.";
  view.do_line = advice.headline;
}

void say_steady(VerdictView& view, const live::State& state, const Session& session, const AdviceView& advice) {
  const listen::Snapshot& now = state.snapshot;
  view.word = "STEADY";
  view.shape = Shape::wave;
  view.tone = Tone::normal;
  view.tone_line = "No tone off the teeth; they pass at " + in_hz(now.tooth_passing_hz) + ".";
  view.how_line = since(now.since_s, now.t_s);
  if (state.other_fit) {  // steady at a speed that was not entered: the teeth are looked for in the wrong place
    view.tone = Tone::abnormal;
    view.tone_line = "The sound fits " + grouped(state.other_fit->spindle_rpm) + ", not " + grouped(state.card.entered_rpm()) + ".";
    view.do_line = "Y takes what is heard, or correct the card.";
    return;
  }
  if (!advice.beyond.empty()) {
    view.tone = Tone::abnormal;
    view.do_line = advice.beyond;
    if (!advice.doubted) return;
  }
  // "It went quiet" is not "it is cured": after chatter, say how much cutting this very speed has been quiet for.
  const SpeedTried* here = session.tried(state.card.entered_rpm());
  const double quiet_s = advice.quiet_s.value_or(here ? here->quiet_run_s : 0);
  if (!advice.doubted) {
    if (!here || session.chattered_rpm() <= 0) return;
    const Words speed = grouped(here->entered_rpm);
    if (!(quiet_s > 0))
      view.do_line = "Settling at " + speed + ": not judged yet.";
    else
      view.do_line = (advice.held ? "Held so far at " : "Quiet so far at ") + speed + ": " + in_time(quiet_s) + " of cutting.";
    return;
  }
  view.word = "QUIET NOW";
  view.shape = Shape::half;
  view.tone = Tone::abnormal;
  view.do_line = !advice.beyond.empty() ? advice.beyond : advice.active ? advice.headline : Words("Quiet so far, not held: it chattered here.");
  if (!here || here->episodes == 0) {  // the trials remember it, and this screen was not there
    view.tone_line = "But chattered at " + grouped(state.card.entered_rpm()) + " on this cut.";
    return;
  }
  view.tone_line = "But chattered " + times(here->episodes) + " at " + grouped(here->entered_rpm) +
                   (here->last_chatter_hz > 0 ? ", last with " + in_hz(here->last_chatter_hz) : Words()) + ".";
  view.how_line = "quiet for " + in_time(quiet_s) + " of cutting" +
                  (here->returned ? kDot + Words("it came back before") : Words());
}

void say_forced(VerdictView& view, const live::State& state) {
  const listen::Snapshot& now = state.snapshot;
  view.word = "RINGING";
  view.shape = Shape::square;
  view.tone = Tone::abnormal;
  const listen::Peak* peak = loudest(now, listen::PeakRole::tooth);
  view.tone_line = peak ? in_hz(peak->hz) + ", tooth multiple " + grouped(peak->order) + ": forced vibration"
                        : "Forced vibration, in step with the teeth";
  view.how_line = "in step with the teeth, not chatter" + Words(kDot) + since(now.since_s, now.t_s);
  view.do_line = "Move the speed off this multiple, or cut with less force.";
  if (state.other_fit) {  // which multiple that is, is known only with the right speed and flutes
    view.tone_line = "The sound fits " + grouped(state.other_fit->spindle_rpm) + " with " + grouped(state.other_fit->flutes) + " flutes.";
    view.how_line = "not what was entered: no verdict on the tone";
    view.do_line = "Correct the card, or Y takes what is heard.";
  }
}

void say_tone(VerdictView& view, const live::State& state, const Session& session, const AdviceView& advice) {
  const listen::Snapshot& now = state.snapshot;
  if (!now.chatter) {
    view.tone_line = "A tone that is not in step with the teeth";
    view.how_line = since(now.since_s, now.t_s);
    return;
  }
  const listen::ChatterNow& chatter = *now.chatter;
  view.tone_line = advice.owner.empty() ? place_between_teeth(chatter.chatter_hz, now.tooth_passing_hz, chatter.kind)
                                        : in_hz(chatter.chatter_hz) + ", " + advice.owner + ", off the teeth";
  const Words trend = session.trend().words();
  view.how_line = (trend.empty() ? trend : trend + kDot) + (chatter.share >= 0.01 ? in_percent(chatter.share) + " of the sound" + kDot : Words()) +
                  since(chatter.start_s, now.t_s);
  if (!advice.beyond.empty()) view.how_line = advice.beyond;  // whatever is heard
}

}  // namespace

Words place_between_teeth(double hz, double tooth_passing_hz, listen::ChatterKind kind) {
  Words tone = in_hz(hz);
  if (!(tooth_passing_hz > 0) || !std::isfinite(hz)) return tone;
  const double order = hz / tooth_passing_hz;
  const double below = std::floor(order), nearest = std::round(order);
  if (std::abs(order - nearest) < 0.01 && nearest >= 1) return tone + ", on tooth multiple " + grouped(nearest);
  const bool half = kind == listen::ChatterKind::period_doubling;
  return tone + (half ? ", halfway between tooth multiples " : ", between tooth multiples ") + grouped(below) +
         " and " + grouped(below + 1);
}

VerdictView prepare_verdict(const live::State& state, const Session& session, const AdviceView& advice) {
  VerdictView view;
  view.clock = in_time(state.snapshot.t_s);
  if (!state.source.running && state.source.kind == live::SourceKind::microphone) {
    say_no_sound(view, state);
    return view;
  }
  switch (state.snapshot.verdict) {
    case Verdict::no_cut:
      say_no_cut(view, state, advice);
      break;
    case Verdict::steady:
      say_steady(view, state, session, advice);
      break;
    case Verdict::forced_vibration:
      say_forced(view, state);
      break;
    case Verdict::building:
      view.word = "BUILDING";
      view.shape = Shape::triangle;
      view.tone = Tone::abnormal;
      say_tone(view, state, session, advice);
      view.do_line = "Not proved yet. Be ready to turn the speed.";
      break;
    case Verdict::chatter:
      view.word = "CHATTER";
      view.shape = Shape::diamond;
      view.tone = Tone::danger;
      say_tone(view, state, session, advice);
      if (advice.turning) view.tone_line = "The speed is being turned, and the tone moves with it.";
      view.do_line = advice.headline;
      break;
  }
  if (!state.source.running && state.source.kind == live::SourceKind::recording) {
    view.clock = "ended at " + view.clock;
  }
  return view;
}

}  // namespace hushmill::dashboard
