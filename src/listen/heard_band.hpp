// Where the engine looks for tones, and from where it sums power: the same for all its parts.
#pragma once

namespace hushmill::listen {

inline constexpr double kHighestHz = 9500;  ///< highest frequency at which lines are looked for
inline constexpr double kShareFromHz = 50;  ///< below is the building, not the cut

}  // namespace hushmill::listen
