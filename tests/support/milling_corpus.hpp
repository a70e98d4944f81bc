// Labelled sound of random simulated cuts: the milling simulator in a random set-up, in a room. All data are invented.
#pragma once

#include "support/additive_shop.hpp"

namespace hushmill::test {

/// A cut that stays healthy or, from the fourth second or so, is pushed past its stability limit by a deeper pass.
struct MillingSettings {
  std::uint64_t seed = 1;
  double sample_rate_hz = 48000;
  double duration_s = 8;
  bool chatter = false;
  bool even_slot = false;   ///< a full slot with four or six equal flutes, where the mean force is constant
  bool low_radial = false;  ///< a sliver, 4 to 10 % of the diameter, at speeds where chatter may double its period
  double cut_over_room_db = 15;
  Nuisance nuisance = Nuisance::none;  ///< laid over, or done to the cut; not droop, second_cut, forced, no_cut
};

/// `onset_s` is where the vibration out of step, beyond that of the twin that cannot chatter, first passes 20 % of the
/// energy in step, on the simulator's clean track; for chatter that settles in step with the rotation (period doubling
/// of an even number of flutes) where teeth leave the cut and the vibration is twice the twin's. `chatter_track` is
/// what regeneration adds: the sound less that of the same cut without it. `chatter_hz` is not known beforehand and
/// stays 0.
ShopSound make_milling_sound(const MillingSettings& settings);

}  // namespace hushmill::test
