// A second source of labelled shop sound, written apart from the milling simulator: sums of tones and noise, so that
// the engine is not tuned to its own simulator. All data are invented. Deterministic by seed on any compiler.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace hushmill::test {

/// Small generator of our own: the distributions of the standard library differ between compilers.
class Chance {
 public:
  explicit Chance(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 0x632BE59BD9B4E019ULL) {}
  std::uint64_t next() noexcept;  ///< splitmix64
  double uniform() noexcept;      ///< [0, 1)
  double uniform(double low, double high) noexcept { return low + (high - low) * uniform(); }
  double log_uniform(double low, double high) noexcept;
  double normal() noexcept;
  int whole(int low, int high) noexcept { return low + static_cast<int>(uniform() * (high - low + 1)); }
  bool one_in(double odds) noexcept { return uniform() < 1.0 / odds; }

 private:
  std::uint64_t state_;
};

enum class Nuisance {
  none,
  pump,
  beeper,
  music,
  speech,
  air_blast,
  knocks,
  corner,
  wrong_speed,
  runout,
  droop,
  second_cut
};

struct ShopSettings {
  std::uint64_t seed = 1;
  double sample_rate_hz = 48000;
  double duration_s = 8;
  bool chatter = false;
  Nuisance nuisance = Nuisance::none;
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
};

ShopSound make_shop_sound(const ShopSettings& settings);
const char* word(Nuisance nuisance) noexcept;

}  // namespace hushmill::test
