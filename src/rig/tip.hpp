// The modes of tool and part, stepped through time: force in, displacement and acceleration out.
//
// Each mode is solved exactly for a force that is linear within a step, so free vibration has exactly the entered
// frequency and damping at any step. Allocates in the constructor only. One thread.
#pragma once

#include <cstddef>
#include <vector>

#include "cutting/mode.hpp"

namespace hushmill::rig {

/// Something along x and y of the machine table.
struct Pair {
  double x = 0;
  double y = 0;
};

class Tip {
 public:
  Tip(const cutting::Structure& structure, double step_s);

  /// Displacement (between tool and part, m) at the end of the step if the force there were zero, given the force now.
  void begin(Pair force_now_n) noexcept;
  Pair without_force() const noexcept { return predicted_; }
  /// The same and its velocity if the force stayed as it is.
  Pair expected() const noexcept;
  Pair expected_velocity() const noexcept;
  /// What each newton at the end of the step adds to the displacement there, m/N.
  Pair gain_m_n() const noexcept { return gain_; }
  /// Ends the step with the force at its end.
  void finish(Pair force_then_n) noexcept;

  Pair position_m() const noexcept;
  /// m/s², of the tool and of the part, each in its own direction of motion.
  Pair tool_acceleration() const noexcept { return tool_acceleration_; }
  Pair part_acceleration() const noexcept { return part_acceleration_; }
  /// Strain energy and energy of motion, J.
  double energy_j() const noexcept;
  /// Adds a displacement, shared out over the modes of each axis: the start of a ring-down, or a small knock.
  void nudge(Pair by_m) noexcept;

 private:
  struct Part {
    double keep_q[3] = {}, keep_v[3] = {};  // q' = keep_q · (q, v, force now); the same for v'
    double then_q = 0, then_v = 0;          // added per newton at the end of the step
    double inverse_mass = 0, c_over_m = 0, k_over_m = 0, k = 0, m = 0;
    double q = 0, v = 0, next_q = 0, next_v = 0;
    bool along_y = false, of_part = false;
  };
  std::vector<Part> parts_;
  double step_s_;
  Pair force_now_{}, predicted_{}, predicted_velocity_{}, gain_{}, gain_velocity_{};
  Pair tool_acceleration_{}, part_acceleration_{};
};

}  // namespace hushmill::rig
