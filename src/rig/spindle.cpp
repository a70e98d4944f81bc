#include "rig/spindle.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::rig {
namespace {
constexpr double kDroopSettlesS = 0.1;
}

Spindle::Spindle(const SpindleSettings& settings, double start_rpm) noexcept
    : settings_(settings), commanded_rpm_(start_rpm) {}

void Spindle::step(double wanted_rpm, double torque_n_m, double seconds) noexcept {
  const double most = settings_.ramp_rpm_per_s * seconds;
  commanded_rpm_ += std::clamp(wanted_rpm - commanded_rpm_, -most, most);
  const double droop = settings_.droop_rpm_per_n_m * std::max(torque_n_m, 0.0);
  droop_rpm_ += (droop - droop_rpm_) * (1.0 - std::exp(-seconds / kDroopSettlesS));
}

double Spindle::rpm() const noexcept {
  const double free_rpm = commanded_rpm_ * (1.0 + 0.01 * settings_.speed_error_percent);
  return free_rpm - std::min(droop_rpm_, 0.01 * settings_.most_droop_percent * free_rpm);
}

}  // namespace hushmill::rig
