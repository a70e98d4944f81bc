// A second source of labelled shop sound, written apart from the milling simulator: sums of tones and noise, so that
// the engine is not tuned to its own simulator. All data are invented. Deterministic by seed on any compiler.
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "support/chance.hpp"
#include "support/nuisance.hpp"

namespace hushmill::test {

struct ShopSettings {
  std::uint64_t seed = 1;
  double sample_rate_hz = 48000;
  double duration_s = 8;
  bool chatter = false;
  Nuisance nuisance = Nuisance::none;  ///< laid over, or done to the cut
  int flutes = 0;                      ///< 0: drawn
  /// Chatter is one line until it has grown and teeth leave the cut, as in slots with four or more equal flutes.
  bool lone_until_grown = false;
  double cut_over_room_db = 15;
};

struct ShopSound {
  std::vector<float> samples;
  double sample_rate_hz = 0;
  double entered_rpm = 0;
  double true_rpm = 0;
  int flutes = 0;
  double cut_start_s = 0;
  double cut_end_s = 0;
  bool chatter = false;
  double chatter_hz = 0;  ///< strongest line
  double onset_s = 0;     ///< chatter passes 20 % of the energy in step with the rotation
  double chatter_end_s = 0;
  double chatter_over_cut_db = 0;
  bool period_doubling = false;
  double unstable_from_s = 0;  ///< from here on chatter may grow: an alarm before it is false
  /// Speeds entered later, at a time in seconds.
  std::vector<std::pair<double, double>> entered_later{};
  std::vector<float> cut_rpm{};        ///< true speed every hundredth of a second; 0 while the tool is out of the cut
  std::vector<float> chatter_track{};  ///< chatter's part of `samples`; empty without chatter
};

ShopSound make_shop_sound(const ShopSettings& settings);

}  // namespace hushmill::test
