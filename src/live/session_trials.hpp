// What the sound itself tells of the speeds tried so far: trials for the adviser, from the findings.
//
// Pure. The live instrument and the review of a recording use the same, so that they advise the same.
#pragma once

#include <vector>

#include "advise/advice.hpp"
#include "listen/findings.hpp"

namespace hushmill::live {

/// One trial for each speed that was entered between `since_s` and now and told something: it chattered (at which
/// frequency, seen at the entered speed), the chatter came back, or it was quiet in the cut for at least kProofS.
/// `except_rpm`, the speed asked about, is left out.
std::vector<advise::Trial> trials_from(const listen::Findings& findings, double since_s, double except_rpm);

/// Less quiet cut proves nothing (our choice: some passes of a corner).
inline constexpr double kProofS = 3;

}  // namespace hushmill::live
