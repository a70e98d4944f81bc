// The spindle: follows the knob at its own pace and sags under load. One thread.
#pragma once

#include "rig/rig_settings.hpp"

namespace hushmill::rig {

class Spindle {
 public:
  Spindle(const SpindleSettings& settings, double start_rpm) noexcept;

  /// Moves on by `seconds` under a mean cutting torque.
  void step(double wanted_rpm, double torque_n_m, double seconds) noexcept;
  /// The true speed now.
  double rpm() const noexcept;

 private:
  SpindleSettings settings_;
  double commanded_rpm_;
  double droop_rpm_ = 0;
};

}  // namespace hushmill::rig
