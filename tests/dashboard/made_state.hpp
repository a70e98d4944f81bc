// Made-up states for tests of the screen: a 4-flute 12 mm end mill in a pocket of a bracket, at 6000 rev/min.
// All figures are invented; the spectra are plausible, not simulated. Deterministic.
#pragma once

#include <vector>

#include "dashboard/session.hpp"
#include "live/state.hpp"

namespace hushmill::test {

enum class Made { air, steady, forced, building, chatter };

/// One moment, `t_s` after the start of the stream.
live::State made_state(Made what, double t_s = 12.0, bool rig = true);

/// A whole made-up session that ends with `last`: air, a quiet cut, chatter, a step down, quiet, chatter again …
/// one state every `every_s` of stream time.
std::vector<live::State> made_session(Made last, double every_s = 0.05, bool rig = true);

/// What the screen remembers once it has seen these.
dashboard::Session session_of(const std::vector<live::State>& states);

}  // namespace hushmill::test
