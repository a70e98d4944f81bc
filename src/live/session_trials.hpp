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

/// At which speed it chattered: where the alarm was raised, or a later one at which it went on for longer than it takes to settle and
/// to die away. The live instrument, a review and the terminal monitor give their advice for this one. Findings must hold a stretch.
const listen::SpeedStretch& chattered_at(const listen::Findings& findings, const listen::Episode& episode);

/// A spindle follows its override within about a second, and chatter takes up to another to die away.
inline constexpr double kGoesOnS = 2;

/// Less quiet cut proves nothing (our choice: some passes of a corner).
inline constexpr double kProofS = 3;

}  // namespace hushmill::live
