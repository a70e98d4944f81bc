// A second opinion from the published literature: the variance of the sound sampled once a revolution, over the
// variance of the whole sound. Near 0 the sound repeats every revolution, near 1 it does not. T.L. Schmitz, "Chatter
// recognition by a statistical evaluation of the synchronously sampled audio signal", J. Sound Vib. 262 (2003) 721-730;
// T. Schmitz, K. Medicus, B. Dutterer, "Exploring once-per-revolution audio signal variance as a chatter indicator",
// Mach. Sci. Technol. 6 (2002) 215-233 (both from memory).
#pragma once

#include <span>

namespace hushmill::bench {

/// The highest ratio of all windows of 20 revolutions that lie wholly in the cut, between from_s and to_s. It is told
/// the true speed (`cut_rpm`, every hundredth of a second, 0 out of the cut), which a shop would take from the
/// spindle's encoder. The published ratio samples at one angle of the spindle; here the mean over eight angles is
/// taken, which only steadies it. 0 when there is no such window.
double variance_ratio(std::span<const float> sound, double rate_hz, std::span<const float> cut_rpm, double from_s,
                      double to_s);

}  // namespace hushmill::bench
