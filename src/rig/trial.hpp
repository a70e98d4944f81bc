// Tries a cut on the simulated machine without its sound: does it chatter?
//
// For charts and for checking advice; faster than the rig with its sound. Allocates. One thread, no shared state.
#pragma once

#include "rig/rig_settings.hpp"

namespace hushmill::rig {

struct TrialOutcome {
  bool chattered = false;
  double chatter_share = 0;   ///< energy off the multiples of the rotation over energy on them, last four revolutions
  double doubling_share = 0;  ///< energy on multiples of the rotation between those of the teeth, beyond what runout
                              ///< makes, over energy on those of the teeth; 0 for unequal pitch
  double swelling = 0;        ///< vibration over that of the same cut without regeneration
  RigTruth truth;             ///< at the end
};

/// Cuts for `seconds` at the start settings and judges the last four revolutions. Chatter is more than 20 % of energy
/// off the multiples of the rotation. It may also settle on such a multiple, and period doubling of an even number of
/// flutes always does; both are told by comparison with the same cut without regeneration: chatter, too, are more than
/// 20 % of new energy between the teeth's multiples, or teeth that leave the cut while the whole vibration is more than
/// doubled. Throws std::invalid_argument as `check` does.
TrialOutcome try_cut(const RigSettings& settings, double seconds);

}  // namespace hushmill::rig
