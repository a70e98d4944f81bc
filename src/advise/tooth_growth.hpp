// Growth of vibration from tooth to tooth, by stepping the linear delay equation through the changing tooth angle.
//
// Sees what the averaged lobes cannot: period doubling and the coming and going of teeth at low engagement. Eight cuts
// are stepped at once, in single precision, at some 5 us a cut and speed. Exact oscillator between kicks of the cutting
// force (second order in the step). Any thread.
#pragma once

#include <span>

#include "advise/flexible_cut.hpp"

namespace hushmill::advise {

/// What becomes of vibration from one tooth to the next: the dominant multiplier of the delay equation.
struct ToothGrowth {
  double log_growth = 0;  ///< growth of its logarithm per tooth: above 0 it chatters
  double turn = 0;        ///< fraction of a wave by which it turns per tooth, 0 to 1/2 (mirrored); 1/2: period doubling
  double share = 0;  ///< part of the energy of the velocity in the member of the family nearest to the asked waves, 0 to 1
};

/// What is asked for: a plain sign is known after fewer teeth.
enum class Wanted { multiplier, sign };

/// At a speed, for an anchored cut. `depth_factor` scales the depth. Rubbing acts tooth by tooth, along
/// the normal of the wall, so its coupling of the directions and modes is seen; `CutMode::rubbing` is not used.
ToothGrowth tooth_growth(const FlexibleCut& cut, double spindle_rpm, int flutes,
                         double depth_factor = 1.0, Wanted wanted = Wanted::multiplier);

/// The same for many cuts, `growths` as long as `cuts`. Cuts with as many modes are best neighbours. With `heard_waves`,
/// the waves per tooth of a heard tone, `share` is reckoned too.
void tooth_growths(std::span<const FlexibleCut* const> cuts, double spindle_rpm, int flutes, double depth_factor,
                   Wanted wanted, std::span<ToothGrowth> growths, double heard_waves = 0);

}  // namespace hushmill::advise
