#include <algorithm>
#include <cmath>

#include "advise/advice.hpp"
#include "advise/belief.hpp"
#include "advise/candidate.hpp"
#include "advise/check_question.hpp"
#include "advise/choose.hpp"
#include "advise/natural_frequency.hpp"
#include "advise/number_text.hpp"
#include "advise/one_mode_lobes.hpp"
#include "advise/remedies.hpp"
#include "advise/speed_window.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr double kSameSpeedAsked = 0.005;  // relative

constexpr double kFarthest = 2.5;      // times the programmed or the present speed, either way
constexpr double kHopeful = 0.2;       // below, after a failed try, speed alone will probably not do
constexpr double kHopeless = 0.12;     // below, it will probably not do even at the first try
constexpr double kManyWaves = 9;       // per tooth: pockets are narrow and shallow (common practice)
constexpr double kWeak = 0.3;          // below, other changes are shown beside the speed
constexpr double kNearlyEqual = 0.03;  // likelihoods that differ by less differ by chance
constexpr double kStay = 0.05;         // what the other way must win by, once a direction was named
constexpr double kPocketShare = 0.75;  // a pocket reaches as far as this part of the likelihood of its best speed

// The neighbouring grid speeds at which the cut is nearly as likely quiet.
std::pair<double, double> pocket_around(const Belief& belief, const SpeedWindow& reach_window, double rpm) {
  const double enough = kPocketShare * belief.quiet_at(rpm);
  const auto reach = [&](double ratio) {
    double edge = rpm;
    while (reach_window.holds(edge * ratio) && belief.quiet_at(edge * ratio) >= enough) edge *= ratio;
    return edge;
  };
  return {reach(1.0 / SpeedGrid::kStep), reach(SpeedGrid::kStep)};
}

class Writer {
 public:
  Writer(const Question& question, const SpeedWindow& window, const SpeedWindow& reach, const Belief& belief,
         const OneMode& mode)
      : question_(question), window_(window), reach_(reach), belief_(belief), mode_(mode) {}

  Candidate candidate(const Spot& spot, bool whole_step) const {
    const double rounded = std::round(spot.spindle_rpm);
    const bool as_it_is = whole_step || proven(question_, spot.spindle_rpm);
    const double rpm = !as_it_is && window_.holds(rounded) ? rounded : spot.spindle_rpm;
    const auto [from, to] = belief_.known() ? pocket_around(belief_, reach_, rpm) : std::pair{rpm, rpm};
    const int lobe = lobe_at(rpm);
    Candidate made = candidate_at(question_, window_, rpm, lobe, from, to);
    if (belief_.known()) {
      made.likelihood = spot.likelihood;
      // At the present speed it chatters; outside the limits nothing was reckoned.
      const bool present = std::abs(made.knob_rpm / question_.spindle_rpm - 1) < 0.005;
      if (!present && reach_.holds(made.knob_rpm)) made.knob_likelihood = belief_.quiet_at(made.knob_rpm);
    }
    if (meets_other_mode(question_, made.knob_rpm, mode_.natural_hz)) {  // barred: no step to name
      made.knob_leaves_pocket = true;
      made.knob_likelihood.reset();
    }
    made.depth_gain = depth_gain(mode_, question_.flutes, rpm);
    made.on_harmonic = harmonic_on_tap(question_, rpm);
    return made;
  }
  // Whole waves of the heard tone that lie nearest, yet never those of the pocket on the other side of the present
  // speed.
  int lobe_at(double rpm) const noexcept {
    const double now = cutting::waves_per_tooth(question_.chatter_hz, question_.spindle_rpm, question_.flutes);
    const double there = cutting::waves_per_tooth(question_.chatter_hz, rpm, question_.flutes);
    const double nearest = rpm < question_.spindle_rpm ? std::max(std::round(there), std::ceil(now))
                                                       : std::min(std::round(there), std::floor(now));
    return static_cast<int>(std::clamp(nearest, 1.0, 1e9));
  }
  std::optional<Candidate> first(const std::vector<Spot>& spots, bool whole_step) const {
    if (spots.empty()) return std::nullopt;
    return candidate(spots.front(), whole_step);
  }

 private:
  const Question& question_;
  const SpeedWindow& window_;
  const SpeedWindow& reach_;
  const Belief& belief_;
  const OneMode& mode_;
};

// Best speeds of both sides, no two in one pocket.
std::vector<Candidate> pockets(const Writer& write, const Choice& choice) {
  std::vector<Spot> spots = choice.lower;
  spots.insert(spots.end(), choice.higher.begin(), choice.higher.end());
  std::stable_sort(spots.begin(), spots.end(),
                   [](const Spot& a, const Spot& b) { return a.likelihood > b.likelihood; });
  std::vector<Candidate> list;
  for (const Spot& spot : spots) {
    if (list.size() == 8 || spot.likelihood < 0.05) break;
    const bool inside = std::any_of(list.begin(), list.end(), [&](const Candidate& c) {
      return spot.spindle_rpm >= c.width_from_rpm / 1.01 && spot.spindle_rpm <= c.width_to_rpm * 1.01;
    });
    if (!inside) list.push_back(write.candidate(spot, false));
  }
  return list;
}

// Speeds in reach at which a tooth harmonic meets a tapped mode other than the one that sings.
void bar_other_modes(const Question& question, const SpeedWindow& reach, double natural_hz, std::vector<Barred>& list) {
  for (const Tap& tap : question.taps) {
    if (same_mode(tap, natural_hz)) continue;
    for (int harmonic = 1; harmonic <= kForcedHarmonics; ++harmonic) {
      const double rpm = cutting::in_phase_rpm(tap.hz, question.flutes, harmonic);
      if (!reach.holds(rpm)) continue;
      list.push_back({rpm, "tooth harmonic " + std::to_string(harmonic) + " meets the " +
                               (tap.of_part ? "part" : "tool") + " mode tapped at " + fixed(tap.hz, 0) + " Hz and would shake it, though it does not chatter there"});
    }
  }
}

// The nearest pocket beyond each end of the window.
std::vector<Barred> beyond(const Question& question, const SpeedWindow& window, double natural_hz) {
  std::vector<Barred> list;
  const auto pocket_rpm = [&](int waves) { return cutting::in_phase_rpm(natural_hz, question.flutes, waves); };
  const double waves_at_top = cutting::waves_per_tooth(natural_hz, window.high_rpm, question.flutes);
  const int above = static_cast<int>(std::ceil(waves_at_top)) - 1;
  if (!window.high_by.empty() && above >= 1) list.push_back({pocket_rpm(above), std::string(window.high_by)});
  const double waves_at_bottom = cutting::waves_per_tooth(natural_hz, window.low_rpm, question.flutes);
  if (!window.low_by.empty() && waves_at_bottom < 1000)
    list.push_back({pocket_rpm(static_cast<int>(std::floor(waves_at_bottom)) + 1), std::string(window.low_by)});
  return list;
}

// What decides between the preferred speed and the best one the other way.
std::string against(const Candidate& first, const Candidate& other, bool lower) {
  const double lead = *first.likelihood - *other.likelihood;
  const std::string there = fixed(other.spindle_rpm, 0) + " rev/min the other way";
  const std::string percent = " (" + fixed(100 * *other.likelihood, 0) + " %)";
  if (lead > kNearlyEqual) return "likelier than " + there + percent;
  if (lead < -kNearlyEqual) return there + " is likelier" + percent + " but the bigger move";
  return there + " is about as likely" + percent + (lower ? ", and slower is the gentler move" : ", and no better");
}

// A pocket that is much likelier than what is named first, and why it is not named.
std::string passed_over(const Advice& advice, const Candidate& first, const Candidate* other, const SpeedWindow& window) {
  constexpr double kMuchLikelier = 0.08;
  for (const Candidate& one : advice.candidates) {  // likeliest first
    if (!one.likelihood || *one.likelihood < *first.likelihood + kMuchLikelier) return {};
    if (other && std::abs(one.spindle_rpm / other->spindle_rpm - 1) < 0.01) continue;
    const bool faster = one.spindle_rpm > first.spindle_rpm;
    return ", and " + fixed(one.spindle_rpm, 0) + " would be likelier (" + fixed(100 * *one.likelihood, 0) + " %)" +
           (faster && window.high_by.empty() ? " but no upper limit was entered" : " but is the bigger move");
  }
  return {};
}

std::string reason_for(const Question& question, const SpeedWindow& window, const Advice& advice) {
  if (!advice.prefer)
    return "No other speed is left between the limits: change depth, width, stick-out or hold instead.";
  const bool lower = advice.prefer == Direction::lower;
  const Candidate& first = lower ? *advice.lower : *advice.higher;
  const auto& other = lower ? advice.higher : advice.lower;
  const std::string speed = fixed(first.spindle_rpm, 0) + " rev/min";
  if (!first.likelihood) return "Try " + speed + " first, but nothing is known of how likely it helps.";
  if (proven(question, first.spindle_rpm))
    return (lower ? "Lower first: " : "Higher first: ") + speed + " has held on this cut before; a proven speed is the surest.";
  const std::string_view judged = likelihood_word(*first.likelihood);
  const std::string instead = passed_over(advice, first, other ? &*other : nullptr, window);
  const bool best = instead.empty() && (!other || !other->likelihood || *other->likelihood <= *first.likelihood + kNearlyEqual);
  std::string text = (lower ? "Lower first: " : "Higher first: ") + speed + " is ";
  text += judged == "likely"     ? "likely quiet ("
          : judged == "unlikely" ? (best ? "unlikely to be quiet, yet the best there is (" : "unlikely to be quiet (")
                                 : "worth a try (";
  text += fixed(100 * *first.likelihood, 0) + " %)";
  const double wide = first.width_to_rpm - first.width_from_rpm;
  if (wide >= 1) text += " in a pocket " + fixed(wide, 0) + " rev/min wide";
  if (!other || !other->likelihood) return text + "; the other way there is nothing inside the limits" + instead + ".";
  return text + "; " + against(first, *other, lower) + instead + ".";
}

// What is wrong with the question itself: a speed that no limit allows.
void note_present_speed(const Question& question, const SpeedWindow& window, std::vector<std::string>& notes) {
  const auto note = [&](std::string_view side, std::string_view by, double limit_rpm) {
    notes.push_back("The present speed, " + fixed(question.spindle_rpm, 0) + " rev/min, lies " + std::string(side) + " " +
                    std::string(by) + ", " + fixed(limit_rpm, 0) + " rev/min: check what was entered.");
  };
  if (!window.high_by.empty() && question.spindle_rpm > window.high_rpm * 1.001)
    note("above", window.high_by, window.high_rpm);
  if (!window.low_by.empty() && question.spindle_rpm < window.low_rpm / 1.001)
    note("below", window.low_by, window.low_rpm);
}

// A speed at the end of what was reckoned is no pocket: it only lies that far.
void note_reach(Advice& advice, const SpeedWindow& window, const SpeedWindow& reach) {
  constexpr double kAtTheEnd = 0.012, kOwnEnd = 1.01;  // relative
  if (advice.lower && reach.low_rpm > window.low_rpm * kOwnEnd && std::abs(advice.lower->spindle_rpm / reach.low_rpm - 1) < kAtTheEnd)
    advice.notes.push_back(fixed(advice.lower->spindle_rpm, 0) + " rev/min is the slowest speed that was looked at: it counts on the rubbing of the flank, not on a pocket.");
  if (advice.higher && reach.high_rpm < window.high_rpm / kOwnEnd && std::abs(advice.higher->spindle_rpm / reach.high_rpm - 1) < kAtTheEnd)
    advice.notes.push_back(fixed(advice.higher->spindle_rpm, 0) + " rev/min is the fastest speed that was looked at: its pocket may lie still higher.");
}

// Chatter that followed the tool to every speed tried.
bool followed_everywhere(const Question& question) {
  const auto held = [](const Trial& trial) { return trial.outcome == Outcome::held; };
  return question.tried.size() >= 2 && std::none_of(question.tried.begin(), question.tried.end(), held);
}

// Tones that one mode does not make at different speeds.
bool far_apart(const Question& question) {
  constexpr double kOneMode = 1.12;
  double lowest_hz = question.chatter_hz, highest_hz = question.chatter_hz;
  for (const Trial& trial : question.tried)
    if (trial.outcome != Outcome::held && trial.chatter_hz) {
      lowest_hz = std::min(lowest_hz, *trial.chatter_hz);
      highest_hz = std::max(highest_hz, *trial.chatter_hz);
    }
  return highest_hz > kOneMode * lowest_hz;
}

std::vector<std::string> notes_for(const Question& question, const Advice& advice, const NaturalFrequency& natural,
                                   const Belief& belief) {
  std::vector<std::string> notes;
  if (belief.passed_over_damping())
    notes.push_back("The damping as entered does not go with this tone: it was passed over.");
  if (belief.passed_over_engagement())
    notes.push_back("Width and way of milling as entered do not go with this tone: they were passed over.");
  if (question.unequal_pitch)
    notes.push_back("The cutter has unequal pitch: pockets reckoned for equal pitch may not hold.");
  for (const Trial& trial : question.tried) {
    const bool also_held = trial.outcome != Outcome::held && std::any_of(question.tried.begin(), question.tried.end(), [&](const Trial& one) {
      return one.outcome == Outcome::held && std::abs(one.spindle_rpm / trial.spindle_rpm - 1) < 0.005;
    });
    if (also_held) notes.push_back("S" + fixed(trial.spindle_rpm, 0) + " held once and chattered once: it is not counted as a speed that holds.");
  }
  if (!belief.known())
    notes.push_back("The tone stands on a multiple of the teeth, where no model chatters: how likely a speed is quiet is not known.");
  if (natural.vague)
    notes.push_back(
        "The tone lies midway between whole waves per tooth: the natural frequency behind it is a wide range.");
  if (followed_everywhere(question))
    notes.push_back("It chattered at every speed tried, " + std::to_string(question.tried.size()) +
                    " beside the present one: what follows the tool to every speed asks for another change, too.");
  if (belief.voices() > 1 && far_apart(question)) notes.push_back("Two tones take turns: a speed helps only where both are quiet.");
  const double waves = cutting::waves_per_tooth(question.chatter_hz, question.spindle_rpm, question.flutes);
  if (waves > kManyWaves)
    notes.push_back("High lobe numbers, " + fixed(waves, 1) +
                    " waves per tooth: pockets are narrow; less depth, more stiffness or a much lower speed help more.");
  for (const auto& candidate : {advice.lower, advice.higher}) {
    if (!candidate) continue;
    const double meeting_rpm = cutting::in_phase_rpm(natural.middle_hz, question.flutes, candidate->lobe);
    // Past that the multiples stand so close that every speed is near one.
    const bool near_mode = candidate->lobe <= kManyWaves && std::abs(candidate->spindle_rpm / meeting_rpm - 1) < 0.015;
    if (candidate->on_harmonic == 0 && !near_mode) continue;
    std::string met = "the teeth meet the mode that sings";
    if (candidate->on_harmonic > 0) met = "tooth harmonic " + std::to_string(candidate->on_harmonic) + " meets a tapped mode";
    notes.push_back("At " + fixed(candidate->spindle_rpm, 0) + " rev/min " + met +
                    ": even a quiet cut may run loud and off size. Check the part.");
  }
  if (advice.knob && advice.prefer) {
    const Candidate& first = *advice.prefer == Direction::lower ? *advice.lower : *advice.higher;
    if (first.likelihood.value_or(0) > advice.knob->likelihood.value_or(0) + 0.1)
      notes.push_back("Typing the S word reaches better speeds than whole steps of the knob.");
  }
  return notes;
}

// A change of speed may help, yet another change is the surer cure.
bool speed_is_weak(const Question& question, double best) {
  const bool returned = std::any_of(question.tried.begin(), question.tried.end(),
                                    [](const Trial& trial) { return trial.outcome == Outcome::returned; });
  return returned || best < kWeak || followed_everywhere(question) || question.unequal_pitch ||
         cutting::waves_per_tooth(question.chatter_hz, question.spindle_rpm, question.flutes) > kManyWaves;
}

constexpr double kNear = 0.05;  // of ln(frequency): the tone is the tapped mode's

// How far a tapped mode lies from where the mode behind the tone may be; within its range the middle decides.
double off(double tapped_hz, const NaturalFrequency& natural) noexcept {
  const double beyond = std::max({0.0, std::log(tapped_hz / natural.high_hz), std::log(natural.low_hz / tapped_hz)});
  return beyond + 1e-3 * std::abs(std::log(tapped_hz / natural.middle_hz));
}

// The tapped mode of tool or part behind the tone; none when it is the machine's, or nobody's.
const Tap* nearest_tap(const Question& question, const NaturalFrequency& natural) {
  const Tap* nearest = nullptr;
  for (const Tap& tap : question.taps)
    if (!nearest || off(tap.hz, natural) < off(nearest->hz, natural)) nearest = &tap;
  for (const double hz : question.machine_taps_hz)
    if (nearest && off(hz, natural) < off(nearest->hz, natural)) nearest = nullptr;
  return nearest && off(nearest->hz, natural) <= kNear ? nearest : nullptr;
}

// A note of the other owner that is as possible: then the taps cannot tell whose it is.
const Tap* rival_of(const Tap& nearest, const Question& question, const NaturalFrequency& natural) {
  for (const Tap& tap : question.taps)
    if (tap.of_part != nearest.of_part && off(tap.hz, natural) <= kNear) return &tap;
  return nullptr;
}

const Tap* singing(const Question& question, const NaturalFrequency& natural) {
  const Tap* nearest = nearest_tap(question, natural);
  return nearest && !rival_of(*nearest, question, natural) ? nearest : nullptr;
}

std::string taps_say(const Question& question, const Tap* sings, const NaturalFrequency& natural) {
  if (question.taps.empty() && question.machine_taps_hz.empty()) return {};
  for (const double hz : question.machine_taps_hz)
    if (!sings && off(hz, natural) <= kNear)
      return "By the taps this is the machine's note (tapped at " + fixed(hz, 0) + " Hz): less depth or width, or another speed.";
  if (const Tap* one = nearest_tap(question, natural); one && !sings) {
    const Tap* other = rival_of(*one, question, natural);
    const double tool_hz = one->of_part ? other->hz : one->hz, part_hz = one->of_part ? one->hz : other->hz;
    return "The taps cannot tell whose note this is: the tool's (" + fixed(tool_hz, 0) + " Hz) and the part's (" + fixed(part_hz, 0) + " Hz) both lie where this tone may come from.";
  }
  if (!sings) return "None of the tapped notes is near this tone: something sings that was not tapped, or not in this direction.";
  const std::string note = " note (tapped at " + fixed(sings->hz, 0) + " Hz)";
  if (sings->of_part) return "By the taps this is the part's" + note + ", not the tool's: work on the hold.";
  return "By the taps this is the tool's" + note + ": speed, stick-out or holder.";
}

// The speed asked about chatters now, whatever came of it earlier.
Question without_here(Question question) {
  std::erase_if(question.tried, [&](const Trial& trial) { return std::abs(trial.spindle_rpm / question.spindle_rpm - 1) < kSameSpeedAsked; });
  return question;
}

}  // namespace

Advice advise(const Question& asked) {
  check_question(asked);
  const Question question = without_here(asked);
  const SpeedWindow window = speed_window(question);
  const double tooth_hz = cutting::tooth_passing_hz(question.spindle_rpm, question.flutes);
  const NaturalFrequency natural = natural_frequency(question.chatter_hz, tooth_hz, question.damping_ratio);

  Advice advice;
  advice.natural_hz = natural.middle_hz;
  advice.natural_low_hz = natural.low_hz;
  advice.natural_high_hz = natural.high_hz;
  const Tap* sings = singing(question, natural);
  if (sings) advice.part_sings = sings->of_part;
  advice.taps_say = taps_say(question, sings, natural);
  advice.barred = beyond(question, window, natural.middle_hz);

  SpeedWindow reach = window;
  // From both speeds: after a try far above the programmed speed the slow ones must stay in reach.
  const auto [slower, faster] = std::minmax({question.spindle_rpm, programmed_rpm(question)});
  reach.low_rpm = std::max(window.low_rpm, slower / kFarthest);
  reach.high_rpm = std::min(window.high_rpm, faster * kFarthest);
  double best = 0;
  if (reach.low_rpm <= reach.high_rpm) {
    const Belief belief(question, SpeedGrid::between(reach.low_rpm, reach.high_rpm));
    const Choice choice = choose(question, reach, belief, natural.middle_hz);
    const OneMode mode{natural.middle_hz, question.damping_ratio.value_or(kDampingMedian), natural.chatter_above};
    const Writer write(question, window, reach, belief, mode);
    advice.lower = write.first(choice.lower, false);
    advice.higher = write.first(choice.higher, false);
    advice.knob = write.first(choice.knob, true);
    advice.candidates = pockets(write, choice);
    bar_other_modes(question, reach, natural.middle_hz, advice.barred);
    if (advice.lower && advice.higher) {
      const double stay = !question.leaning ? 0 : *question.leaning == Direction::lower ? kStay : -kStay;
      const bool lower = choice.lower.front().score + stay >= choice.higher.front().score;
      advice.prefer = lower ? Direction::lower : Direction::higher;
    }
    else if (advice.lower || advice.higher)
      advice.prefer = advice.lower ? Direction::lower : Direction::higher;
    best = advice.candidates.empty() ? 0.0 : advice.candidates.front().likelihood.value_or(0.0);
    advice.speed_may_not_do = belief.known() && best < (question.tried.empty() ? kHopeless : kHopeful);
    if (belief.known() && (advice.speed_may_not_do || speed_is_weak(question, best)))
      advice.depth_factor = quiet_depth_factor(belief, advice);
    advice.notes = notes_for(question, advice, natural, belief);
    note_reach(advice, window, reach);
  } else {
    advice.speed_may_not_do = true;
  }
  if (!advice.prefer) advice.speed_may_not_do = true;
  if (advice.speed_may_not_do || speed_is_weak(question, best)) advice.remedies = remedies_for(question, advice);
  note_present_speed(question, window, advice.notes);
  advice.reason = reason_for(question, window, advice);
  advice.cautions = cautions_for(question, advice);
  return advice;
}

}  // namespace hushmill::advise
