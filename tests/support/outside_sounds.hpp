// Real sounds that neither of our generators made: recordings and speech of packages of the system, for the benchmark.
//
// `sonic-pi-samples` (CC0 recordings: struck metal, bells, rubbed glass, ambience, drones, guitars, loops), the speech
// and noise files of `alsa-utils`, and sentences spoken by `espeak-ng` at the moment. What is not installed is named,
// never replaced by something else.
#pragma once

#include <string>
#include <vector>

namespace hushmill::test {

struct OutsideSound {
  std::string name{};  ///< file or voice, with its package: "sonic-pi-samples/perc_bell.flac"
  double sample_rate_hz = 0;
  std::vector<float> samples{};
};

struct OutsideSounds {
  std::vector<OutsideSound> sounds{};
  std::vector<std::string> missing{};  ///< names of packages that are not installed
};

/// Everything that is installed, in an order that does not change. Throws when an installed file cannot be read.
OutsideSounds outside_sounds();

}  // namespace hushmill::test
