#include "live/why_no_advice.hpp"

#include <cmath>

namespace hushmill::live {

std::string why_no_advice(const listen::Findings& findings) {
  if (!findings.other_fit) return {};
  const int flutes = findings.other_fit->flutes;
  return "The sound fits " + std::to_string(std::lround(findings.other_fit->spindle_rpm)) + " rev/min with " + std::to_string(flutes) +
         (flutes == 1 ? " flute" : " flutes") +
         ", not what was entered: enter what is right first, since advice at a wrong speed is worth nothing.";
}

}  // namespace hushmill::live
