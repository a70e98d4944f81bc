// Arithmetic of speeds, feeds and chips: spindle speed, tooth passing, surface speed, chip load.
//
// Plain formulas on finite, positive numbers; nothing is checked here, callers check what people typed. Any thread.
// Where a unit is not in a name the formula holds in any one unit of length (inch or millimetre).
#pragma once

namespace hushmill::cutting {

inline constexpr double kMmPerInch = 25.4;  ///< exact, by definition of the inch (ISO 80000-3)

/// Frequency of the rotation, Hz.
double rotation_hz(double spindle_rpm) noexcept;
/// Frequency at which teeth enter the cut, Hz.
double tooth_passing_hz(double spindle_rpm, int flutes) noexcept;
/// Waves of a tone between one tooth and the next; its fraction is the phase between their waves.
double waves_per_tooth(double tone_hz, double spindle_rpm, int flutes) noexcept;

/// Speed at which `waves` whole waves of `tone_hz` fit between two teeth: 60 f / (N k), rev/min.
/// With a natural frequency: the best speeds (T.L. Schmitz, K.S. Smith, "Machining Dynamics", 2009, from memory).
/// With the heard frequency: the plain rule (S. Smith, T. Delio, "Sensor-Based Chatter Detection and Avoidance by
/// Spindle Speed", 1992, from memory).
double in_phase_rpm(double tone_hz, int flutes, int waves) noexcept;

/// Surface speed at the diameter, m/min: pi D n / 1000.
double surface_speed_m_min(double diameter_mm, double spindle_rpm) noexcept;
/// Spindle speed for a surface speed, rev/min: 1000 v / (pi D).
double rpm_for_surface_speed_m_min(double surface_speed_m_min, double diameter_mm) noexcept;

/// Feed per minute from the chip load (feed per tooth), same length unit: f z N.
double feed_per_min(double chip_load, int flutes, double spindle_rpm) noexcept;
/// Chip load (feed per tooth) from the feed per minute, same length unit.
double chip_load(double feed_per_min, int flutes, double spindle_rpm) noexcept;
/// Feed per minute at `to_rpm` that keeps the chip load of `feed_per_min` at `from_rpm`.
double feed_keeping_chip_load(double feed_per_min, double from_rpm, double to_rpm) noexcept;

/// Angle a tooth spends in the material, radians, from engagement = radial width / diameter, 0 to 1.
double engaged_angle_rad(double engagement) noexcept;

}  // namespace hushmill::cutting
