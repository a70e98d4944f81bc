// A working day of mixed shop sound, one scene after another: cuts of both generators, air, an idle shop, nuisances, some chatter.
//
// The mix is invented (no source counts what a shop sounds like): of 100 scenes about 30 are idle, half of them with somebody at
// work elsewhere, 65 are cuts made of tones and noise, every third with something that disturbs, 5 come from the milling
// simulator; one cut in eight chatters. One room, 9 to 20 dB below the scenes, goes on under all of them. Deterministic by seed. Holds one scene at a time, so a day takes no more memory than a
// minute.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "support/chance.hpp"
#include "support/oscillator.hpp"

namespace hushmill::test {

inline constexpr double kDayRateHz = 48000;
inline constexpr double kSceneS = 20;

/// Times are seconds from the beginning of the scene.
struct Scene {
  std::vector<float> samples;  ///< kSceneS of them at kDayRateHz
  std::string kind;            ///< in words, for the report
  double rpm = 6000;           ///< as it is entered
  int flutes = 4;
  std::vector<std::pair<double, double>> entered_later;  ///< time and speed
  bool cut = false;
  double cut_start_s = 0;
  bool chatter = false;
  double unstable_from_s = 0;  ///< an alarm before it is false
  double onset_s = 0;          ///< as in ShopSound; negative where it never gets there
  double chatter_end_s = 0;
};

class ShopDay {
 public:
  explicit ShopDay(std::uint64_t seed) : chance_(seed), room_(seed + 1), seed_(100000 * seed) {}
  /// The next twenty seconds.
  Scene next();

 private:
  Scene draw();
  void lay_room(Scene& scene);

  Chance chance_, room_;
  std::uint64_t seed_;
  int number_ = 0;
  double slow_ = 0, mid_ = 0;
  std::array<Oscillator, 3> tones_{};
};

}  // namespace hushmill::test
