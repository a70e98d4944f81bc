// One mode of vibration, as seen at the tool tip. A plain value; no thread, no failure.
#pragma once

#include <vector>

#include "cutting/circle.hpp"

namespace hushmill::cutting {

/// One viscously damped mode: G(f) = (1/k) / (1 − r² + 2iζr), r = f / natural_hz.
struct Mode {
  double natural_hz = 0;     ///< undamped natural frequency
  double damping_ratio = 0;  ///< ζ, between 0 and 1
  double stiffness_n_m = 0;  ///< modal stiffness at the tip

  double omega() const noexcept { return 2.0 * kPi * natural_hz; }                                 ///< rad/s
  double mass_kg() const noexcept { return stiffness_n_m / (omega() * omega()); }                  ///< k/ω²
  double damping_n_s_m() const noexcept { return 2.0 * damping_ratio * stiffness_n_m / omega(); }  ///< c = 2ζk/ω
};

/// What bends: modes of the tool and of the part in its hold, along x and y of the machine table. The part feels the
/// force of the tool reversed, so between the two the compliances add.
struct Structure {
  std::vector<Mode> tool_x = {};
  std::vector<Mode> tool_y = {};
  std::vector<Mode> part_x = {};
  std::vector<Mode> part_y = {};
};

}  // namespace hushmill::cutting
