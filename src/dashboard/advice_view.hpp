// Which advice may be shown at this moment, in which order, and why not when not. Pure.
// One place decides it for the verdict band, the ladder's arrows and the advice card, so that they cannot disagree.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dashboard/move.hpp"
#include "dashboard/session.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

struct AdviceLine {
  Move move;
  advise::Candidate candidate;
  advise::Direction direction = advise::Direction::lower;
  bool first = false;   ///< the one to try first
  std::optional<double> likelihood;  ///< of the speed that is named: the knob's step where the knob does, else the S word
  std::string warning;  ///< "came back there", "chattered there", "beyond a limit"; empty when there is none
};

struct AdviceView {
  bool active =
      false;  ///< advice is wanted now: chatter, or chatter that neither a quiet cut nor a new speed has answered
  std::vector<AdviceLine> lines;  ///< first choice first; at most two; empty unless active
  bool waiting = false;           ///< it is quiet, but chatter at this very speed is not answered yet
  std::string idle;               ///< the card's words while no advice is wanted
  std::string headline;           ///< the bold sentence; empty when there is nothing to say
  std::string reason;             ///< the adviser's own sentence
  std::vector<std::string> remedies;  ///< strongest first, when speed alone will probably not do; else empty
  std::string note;                   ///< what weakens this advice most; empty when nothing does

  const AdviceLine* first() const noexcept { return !lines.empty() && lines.front().first ? &lines.front() : nullptr; }
};

AdviceView prepare_advice(const live::State& state, const Session& session, Units units = Units::metric);

}  // namespace hushmill::dashboard
