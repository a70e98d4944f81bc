#include "live/why_no_advice.hpp"

#include <cmath>

namespace hushmill::live {

std::string why_no_advice(const std::optional<listen::OtherFit>& heard) {
  if (!heard) return {};
  const int flutes = heard->flutes;
  return "The sound fits " + std::to_string(std::lround(heard->spindle_rpm)) + " rev/min with " + std::to_string(flutes) +
         (flutes == 1 ? " flute" : " flutes") +
         ", not what was entered: enter what is right first, since advice at a wrong speed is worth nothing.";
}

}  // namespace hushmill::live
