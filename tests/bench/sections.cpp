#include "bench/sections.hpp"

#include <array>

namespace hushmill::bench {

std::span<const Section> sections() {
  static const std::array kSections{
      Section{"speed", "how fast a recording is reviewed, beside the bare cost of the transforms", speed},
      Section{"physics", "stability charts and simulated machine: how fast, and how well they agree", physics},
  };
  return kSections;
}

}  // namespace hushmill::bench
