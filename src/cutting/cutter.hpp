// The cutter as the stability chart and the simulated cut see it. A plain value; `check` throws, nothing else fails.
#pragma once

#include <vector>

namespace hushmill::cutting {

/// An end mill. Tooth j follows tooth j − 1; the first pitch lies between the last tooth and the first.
struct Cutter {
  int flutes = 4;
  double diameter_mm = 12;
  double helix_deg = 30;
  std::vector<double> pitch_deg = {};  ///< one angle a flute, 360 together; empty: all equal
  std::vector<double> runout_um = {};  ///< how far each flute stands out radially; empty: none
};

/// Throws std::invalid_argument naming the field, its value and what would be right.
void check(const Cutter& cutter);

/// Angle from the tooth before tooth j to tooth j, rad, one a flute.
std::vector<double> pitch_rad(const Cutter& cutter);

/// After how many teeth the pitch repeats itself: 1 if all are equal, 2 for 70-110-70-110, else up to all of them.
int pattern_teeth(const Cutter& cutter);

}  // namespace hushmill::cutting
