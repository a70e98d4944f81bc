// A candidate speed in the words of the machine: how many steps of the knob, which S and F word, how likely.
// Pure. Nothing here invents a speed: the exact speed is the adviser's, the knob's speed is a step of the knob.
#pragma once

#include <optional>

#include "advise/advice.hpp"
#include "dashboard/units.hpp"
#include "dashboard/words.hpp"
#include "live/cut_card.hpp"

namespace hushmill::dashboard {

struct Move {
  double exact_rpm = 0;        ///< the adviser's speed: the S word
  double target_rpm = 0;       ///< where the sentence sends: the knob's step when it will do, else the exact speed
  int steps = 0;               ///< of the knob from its present setting; negative is down
  bool by_knob = false;        ///< a knob step lies in the pocket (or within 1 % of the speed when no pocket is known)
  bool beyond_limit = false;   ///< above or below a limit of the card: never to be advised
  bool there_already = false;  ///< the entered speed is the target
  Words sentence;        ///< "Turn the speed DOWN one step, to 5 400."
  Words short_words;     ///< "1 step down · 5 400"
  Spellings words;       ///< of the speed that is named: "S5400 F1296 mm/min", or "override 90 %, chip load up by 11 %"; best first
  Words likely;          ///< the same speed's: "80 % likely", "worth a try, 45 %", "unlikely, 20 %", "likelihood not known"
  Spellings beside;      ///< what else does: "or S5321 F1277 mm/min: 84 % likely", "override 87.1 %, nearest step 90 % (68 % likely)"
};

/// `units` is the machine's: the F word is in mm/min or in/min. `chatters_here`: the present setting of the knob is no answer.
Move describe_move(const advise::Candidate& candidate, const live::CutCard& card, Units units, bool chatters_here = false);

/// The lowest of the card's upper limits, and its name; none when no limit was given.
struct SpeedLimit {
  double rpm = 0;
  Words name;  ///< "tool limit", "spindle limit"
};
std::optional<SpeedLimit> upper_limit(const live::CutCard& card);

/// "likely" from 0.6, "worth a try" from 0.3, else "unlikely" (our own words for the adviser's number).
Words likelihood_words(std::optional<double> likelihood);

}  // namespace hushmill::dashboard
