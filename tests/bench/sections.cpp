#include "bench/sections.hpp"

#include <array>

namespace hushmill::bench {

std::span<const Section> sections() {
  static const std::array kSections{
      Section{"speed", "how fast a recording is reviewed, beside the bare cost of the transforms", speed},
  };
  return kSections;
}

}  // namespace hushmill::bench
