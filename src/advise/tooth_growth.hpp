// Growth of vibration from tooth to tooth, by stepping the linear delay equation through the changing tooth angle.
//
// Sees what the averaged lobes cannot: period doubling and the coming and going of teeth at low engagement. Costs some
// 50 us a speed, so it is used on few speeds. Exact oscillator between kicks of the cutting force (second order in the
// step). Any thread.
#pragma once

#include "advise/flexible_cut.hpp"

namespace hushmill::advise {

/// What becomes of vibration from one tooth to the next: the dominant multiplier of the delay equation.
struct ToothGrowth {
  double log_growth = 0;  ///< growth of its logarithm per tooth: above 0 it chatters
  double turn = 0;        ///< fraction of a wave by which it turns per tooth, 0 to 1/2 (mirrored); 1/2: period doubling
};

/// What is asked for: a plain sign is known after fewer teeth.
enum class Wanted { multiplier, sign };

/// At a speed, for an anchored cut. `depth_factor` scales the depth. Rubbing acts tooth by tooth, along
/// the normal of the wall, so its coupling of the directions and modes is seen; `CutMode::rubbing` is not used.
ToothGrowth tooth_growth(const FlexibleCut& cut, double spindle_rpm, int flutes,
                         double depth_factor = 1.0, Wanted wanted = Wanted::multiplier);

}  // namespace hushmill::advise
