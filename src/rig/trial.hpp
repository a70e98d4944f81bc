// Tries a cut on the simulated machine without its sound: does it chatter?
//
// For charts and for checking advice; faster than the rig with its sound. Allocates. One thread, no shared state.
#pragma once

#include "rig/rig_settings.hpp"

namespace hushmill::rig {

struct TrialOutcome {
  bool chattered = false;
  double chatter_share = 0;  ///< energy off the multiples of the rotation over energy on them, last four revolutions
  double between_share = 0;  ///< energy on multiples of the rotation between those of the teeth, beyond that of the
                             ///< same cut without regeneration, over energy on those of the teeth; 0 for unequal pitch
  double swelling = 0;       ///< vibration over that of the same cut without regeneration
  RigTruth truth;            ///< at the end
};

/// Cuts for `seconds` at the start settings and judges the last four revolutions. Chatter is more than 20 % of energy
/// off the multiples of the rotation. It may also settle on such a multiple, and period doubling of an even number of
/// flutes always does. That is suspected from comparison with the same cut without regeneration: more than 20 % of new
/// energy between the teeth's multiples, or teeth that leave the cut while the whole vibration is more than doubled.
/// Runout raised by a cut that is near its limit but stable looks the same, so the suspicion is tried: the same cut
/// with flutes that run true must chatter too. (Unequal pitch has nothing to try it by; there the suspicion stands.)
/// Throws std::invalid_argument as `check` does.
TrialOutcome try_cut(const RigSettings& settings, double seconds);

}  // namespace hushmill::rig
