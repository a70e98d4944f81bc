// What was asked of the instrument and has not come back yet in a state. Keys may be pressed faster than states return:
// each must build on the one before, and the screen must not fall back for a moment. Pure; the caller owns time.
#pragma once

#include <optional>

#include "live/command.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

/// The state as it will be when the command has been taken: card and simulated machine only.
void foresee(const live::Command& command, live::State& state);

class Pending {
 public:
  void sent(const live::Command& command, double now_s);
  /// Puts what was asked for over a state that does not know of it yet. Given up after `kTrustS`: by then the
  /// instrument has answered, or it never will.
  void overlay(live::State& state, double now_s);

  static constexpr double kTrustS = 0.5;

 private:
  std::optional<live::CutCard> card_;
  std::optional<rig::RigControls> controls_;
  double sent_s_ = 0;
};

}  // namespace hushmill::dashboard
