#include "cutting/speeds.hpp"

#include <algorithm>
#include <cmath>

#include "cutting/circle.hpp"

namespace hushmill::cutting {

namespace {
constexpr double kMmPerM = 1000.0;
constexpr double kSecondsPerMin = 60.0;
}  // namespace

double rotation_hz(double spindle_rpm) noexcept { return spindle_rpm / kSecondsPerMin; }

double tooth_passing_hz(double spindle_rpm, int flutes) noexcept { return rotation_hz(spindle_rpm) * flutes; }

double waves_per_tooth(double tone_hz, double spindle_rpm, int flutes) noexcept {
  return tone_hz / tooth_passing_hz(spindle_rpm, flutes);
}

double in_phase_rpm(double tone_hz, int flutes, int waves) noexcept {
  return kSecondsPerMin * tone_hz / (static_cast<double>(flutes) * waves);
}

double surface_speed_m_min(double diameter_mm, double spindle_rpm) noexcept {
  return kPi * diameter_mm * spindle_rpm / kMmPerM;
}

double rpm_for_surface_speed_m_min(double surface_speed_m_min, double diameter_mm) noexcept {
  return kMmPerM * surface_speed_m_min / (kPi * diameter_mm);
}

double feed_per_min(double chip_load, int flutes, double spindle_rpm) noexcept {
  return chip_load * flutes * spindle_rpm;
}

double chip_load(double feed_per_min, int flutes, double spindle_rpm) noexcept {
  return feed_per_min / (flutes * spindle_rpm);
}

double feed_keeping_chip_load(double feed_per_min, double from_rpm, double to_rpm) noexcept {
  return feed_per_min * to_rpm / from_rpm;
}

double engaged_angle_rad(double engagement) noexcept { return std::acos(1.0 - 2.0 * std::clamp(engagement, 0.0, 1.0)); }

}  // namespace hushmill::cutting
