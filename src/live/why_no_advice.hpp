// When no speed may be advised, however much it chatters: while the sound contradicts what was entered. Pure; the live
// instrument, a review and the terminal monitor use the same.
#pragma once

#include <optional>
#include <string>

#include "listen/findings.hpp"

namespace hushmill::live {

/// The reason as one sentence; empty when advice may be given. `heard`: what fits instead of what was entered.
std::string why_no_advice(const std::optional<listen::OtherFit>& heard);

}  // namespace hushmill::live
