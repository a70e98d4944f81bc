#include "bench/sections.hpp"

#include <array>

namespace hushmill::bench {

std::span<const Section> sections() {
  static const std::array kSections{
      Section{"speed", "how fast a recording is reviewed, beside the bare cost of the transforms", speed},
      Section{"hearing", "real sounds and a labelled corpus: what is found, falsely alarmed, how late; ten minutes", hearing},
      Section{"microphone", "is each fault of the input named, and is clean sound left alone; some minutes", microphone},
      Section{"physics", "stability charts and simulated machine: how fast, and how well they agree", physics},
      Section{"advice", "does the advice cure simulated cuts, in how many tries, and is it as sure as it should be", advice},
      Section{"tap", "modes from made-up hammer taps: found, false, how exact, beside a half-power reading; some minutes", tap},
      Section{"frame", "what a frame of the dashboard costs, and how soon a verdict stands on it; a minute or two", frame},
  };
  return kSections;
}

}  // namespace hushmill::bench
