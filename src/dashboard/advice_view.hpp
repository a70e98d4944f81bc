// Which advice may be shown at this moment, in which order, and why not when not. Pure.
// One place decides it for the verdict band, the ladder's arrows and the advice card, so that they cannot disagree.
#pragma once

#include <optional>
#include <vector>

#include "dashboard/move.hpp"
#include "dashboard/session.hpp"
#include "dashboard/words.hpp"
#include "live/state.hpp"
#include "trial/speed_table.hpp"

namespace hushmill::dashboard {

struct AdviceLine {
  Move move;
  advise::Candidate candidate;
  advise::Direction direction = advise::Direction::lower;
  bool first = false;   ///< the one to try first
  std::optional<double> likelihood;  ///< of the speed that is named: the knob's step where the knob does, else the S word
  Words warning;  ///< "came back there", "chattered there", "beyond a limit"; empty when there is none
};

struct AdviceView {
  bool active =
      false;  ///< advice is wanted now: chatter, or chatter that neither a quiet cut nor a new speed has answered
  Few<AdviceLine, 2> lines;  ///< first choice first; at most two; empty unless active
  bool turning = false;           ///< the speed was changed a moment ago: no advice until the spindle has followed
  bool waiting = false;           ///< it is quiet, but chatter at this very speed is not answered yet
  bool doubted = false;           ///< the same, or the trials have chatter at this speed on this cut: quiet proves nothing
  /// Quiet cut of the running trial since its settling or its last chatter, so that band, card and trials count the same
  /// seconds; none without a trial that is believed.
  std::optional<double> quiet_s;
  bool held = false;              ///< the running trial has held
  Words idle;               ///< the card's words while no advice is wanted
  Words headline;           ///< the bold sentence; empty when there is nothing to say
  Words reason;             ///< the adviser's own sentence
  Few<Words, 3> remedies;  ///< strongest first, when speed alone will probably not do; else empty
  Words note;                   ///< whose note it is by the taps, or what weakens this advice most; empty when nothing does
  /// The entered speed is above or below a limit: never to be kept, however quiet. Empty when it is within.
  Words beyond;
  bool unlimited = false;         ///< no upper limit was entered
  Words owner;                  ///< "the part's note", "the tool's note"; empty when no tap says so

  const AdviceLine* first() const noexcept { return !lines.empty() && lines.front().first ? &lines.front() : nullptr; }
};

/// `speeds`: the table of the state's trials.
AdviceView prepare_advice(const live::State& state, const Session& session, Units units, const trial::SpeedTable& speeds);
inline AdviceView prepare_advice(const live::State& state, const Session& session, Units units = Units::metric) {
  return prepare_advice(state, session, units, trial::speed_table(state.trials));
}

}  // namespace hushmill::dashboard
