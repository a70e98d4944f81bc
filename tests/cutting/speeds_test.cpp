#include "cutting/speeds.hpp"

#include <numbers>

#include "support/catch.hpp"

namespace {

using namespace hushmill::cutting;
using hushmill::test::WithinAbs;
using hushmill::test::WithinRel;

TEST_CASE("tooth passing and rotation follow from spindle speed and flutes") {
  // Derived: 8000 rev/min, 4 flutes, tone at 940 Hz (worked example of our own).
  CHECK_THAT(rotation_hz(8000), WithinAbs(133.3333, 1e-4));
  CHECK_THAT(tooth_passing_hz(8000, 4), WithinAbs(533.3333, 1e-4));
  CHECK_THAT(waves_per_tooth(940, 8000, 4), WithinAbs(1.7625, 1e-9));
}

TEST_CASE("speeds in phase with a tone") {
  // Derived from n = 60 f / (N k). Formula: Schmitz and Smith, "Machining Dynamics", 2009 (from memory).
  const double two_teeth[] = {27660, 13830, 9220, 6915, 5532};
  const double four_teeth[] = {7500, 3750, 2500, 1875, 1500};
  for (int k = 1; k <= 5; ++k) {
    CHECK_THAT(in_phase_rpm(922, 2, k), WithinRel(two_teeth[k - 1], 1e-12));
    CHECK_THAT(in_phase_rpm(500, 4, k), WithinRel(four_teeth[k - 1], 1e-12));
  }
  CHECK_THAT(in_phase_rpm(940, 4, 1), WithinRel(14100, 1e-12));
  CHECK_THAT(in_phase_rpm(940, 4, 2), WithinRel(7050, 1e-12));
  CHECK_THAT(in_phase_rpm(940, 4, 3), WithinRel(4700, 1e-12));
}

TEST_CASE("El-Hofy's face milling example gives his speed, feed and surface speed") {
  // H.A. El-Hofy, "Fundamentals of Machining Processes", p. 189: d = 30 mm, Z = 8, 0.1 mm/tooth, 120 mm/min;
  // N = 150 rev/min; V is printed as 14.13 m/min (exact 14.137).
  CHECK_THAT(chip_load(120, 8, 150), WithinAbs(0.1, 1e-12));
  CHECK_THAT(feed_per_min(0.1, 8, 150), WithinAbs(120, 1e-9));
  CHECK_THAT(surface_speed_m_min(30, 150), WithinAbs(14.13, 0.01));
  CHECK_THAT(surface_speed_m_min(30, 150), WithinAbs(14.1372, 1e-4));
  CHECK_THAT(rpm_for_surface_speed_m_min(surface_speed_m_min(30, 150), 30), WithinRel(150, 1e-12));
}

TEST_CASE("speeds for a surface speed agree with Jones and the Handbook") {
  const auto rpm_for_surface_speed_ft_min = [](double feet, double inches) {
    return rpm_for_surface_speed_m_min(0.3048 * feet, inches * kMmPerInch);
  };
  // F.D. Jones, "Turning and Boring": C = 60 ft/min, d = 5 in, "46 revolutions per minute" (exact 45.84).
  CHECK_THAT(rpm_for_surface_speed_ft_min(60, 5), WithinAbs(46, 0.5));
  CHECK_THAT(rpm_for_surface_speed_ft_min(60, 5), WithinAbs(45.8366, 1e-4));
  // Machinery's Handbook, 27th ed., speeds and feeds: 4 in bar at 575 ft/min, 549 rev/min (number from memory,
  // arithmetic derived).
  CHECK_THAT(rpm_for_surface_speed_ft_min(575, 4), WithinAbs(549, 0.5));
  // "Machine tool speeds and feeds" appendix: rpm is about 3.8 v / d.
  CHECK_THAT(rpm_for_surface_speed_ft_min(100, 1), WithinRel(3.8 * 100, 0.01));
}

TEST_CASE("a feed that follows the speed keeps the chip load") {
  const double feed = feed_keeping_chip_load(1200, 6000, 7050);
  CHECK_THAT(feed, WithinRel(1410, 1e-12));
  CHECK_THAT(chip_load(feed, 4, 7050), WithinRel(chip_load(1200, 4, 6000), 1e-12));
}

TEST_CASE("the angle of engagement follows from the width") {
  // Derived: plain geometry of a circle.
  CHECK_THAT(engaged_angle_rad(0.10), WithinAbs(0.643501, 1e-6));
  CHECK_THAT(engaged_angle_rad(0.5), WithinAbs(std::numbers::pi / 2, 1e-12));
  CHECK_THAT(engaged_angle_rad(1.0), WithinAbs(std::numbers::pi, 1e-12));
}

}  // namespace
