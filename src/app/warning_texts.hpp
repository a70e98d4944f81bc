// The plain words for what the engine warns of: what it is and what to do.
#pragma once

#include <string>

#include "listen/findings.hpp"

namespace hushmill::app {

/// One or two sentences; the findings give the figures.
std::string warning_text(listen::Warning warning, const listen::Findings& findings);

/// The cautions that stand wherever advice is shown, one per line.
inline constexpr const char* kCautions =
    "Advice only: Hushmill touches no control. Doors shut, guards on, hearing and eye protection.\n"
    "Never above the lowest of spindle, holder and tool limit. Shop rules, the makers' instructions and qualified people come first.\n";

}  // namespace hushmill::app
