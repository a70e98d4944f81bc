// What speed does not cure, a shorter tool or a better hold does: the same cut on the simulated machine.
#include "cutting/mounting.hpp"

#include "rig/rig_settings.hpp"
#include "rig/trial.hpp"
#include "support/catch.hpp"
#include "support/chattering_steps.hpp"

using namespace hushmill;
using test::WithinRel;

namespace {

/// A thin wall across the feed, cut by a tool that does not give: all that sings is the part.
rig::RigSettings fin(double overhang_mm) {
  rig::RigSettings settings;
  settings.model.structure = {
      .tool_x = {{2400, 0.03, 6e7}}, .tool_y = {{2400, 0.03, 6e7}}, .part_x = {}, .part_y = {{980, 0.015, 6e6}}};
  settings.model.force.tangential_n_mm2 = 1390;
  settings.model.force.radial_n_mm2 = 560;
  settings.mounting.overhang_mm = 45;
  settings.start = {.spindle_rpm = 2600, .depth_mm = 2.4, .radial_mm = 1.5, .feed_per_tooth_mm = 0.05};
  rig::remount(settings, {.overhang_mm = overhang_mm});
  return settings;
}

}  // namespace

TEST_CASE("A long tool chatters at every step of the knob, a shorter one at none, in the same cut") {
  rig::RigSettings settings = rig::bracket_wall();
  settings.start.depth_mm = 3.4;
  rig::RigSettings long_tool = settings;
  rig::remount(long_tool, {.stickout_mm = 66});
  CHECK(test::chattering_steps(long_tool) == 8);
  rig::RigSettings short_tool = settings;
  rig::remount(short_tool, {.stickout_mm = 32});
  CHECK(test::chattering_steps(short_tool) == 0);
}

TEST_CASE(
    "A part that stands far out of its jaws chatters at every step of the knob, one held deeper or propped at none") {
  CHECK(test::chattering_steps(fin(45)) == 8);
  CHECK(test::chattering_steps(fin(22)) == 0);
  rig::RigSettings propped = fin(45);
  rig::remount(propped, {.part_support_n_m = 6e7});
  CHECK(test::chattering_steps(propped) == 0);
}

TEST_CASE("Changes of the mounting add up: there and back again is where it was") {
  rig::RigSettings settings = rig::tray_pocket();
  const cutting::Structure was = settings.model.structure;
  rig::remount(settings, {.stickout_mm = 50, .holder_times = 2.0, .overhang_mm = 40, .part_support_n_m = 1e7});
  CHECK(settings.mounting.tool.stickout_mm == 50);
  CHECK(settings.model.structure.tool_x[0].natural_hz != was.tool_x[0].natural_hz);
  CHECK(settings.model.structure.part_y[0].natural_hz != was.part_y[0].natural_hz);
  rig::remount(settings, {.stickout_mm = 40, .holder_times = 0.5, .overhang_mm = 30, .part_support_n_m = 0});
  CHECK_THAT(settings.model.structure.tool_x[0].natural_hz, WithinRel(was.tool_x[0].natural_hz, 1e-9));
  CHECK_THAT(settings.model.structure.tool_y[0].stiffness_n_m, WithinRel(was.tool_y[0].stiffness_n_m, 1e-9));
  CHECK_THAT(settings.model.structure.part_y[0].natural_hz, WithinRel(was.part_y[0].natural_hz, 1e-9));
}

TEST_CASE("A mounting that cannot be is refused with its value and what would be right") {
  rig::RigSettings settings = rig::bracket_wall();
  CHECK_THROWS_WITH(rig::remount(settings, {.stickout_mm = 20}),
                    "stick-out in mm is 20; 26 to 180 (flutes stay out of the holder) would be right");
  CHECK_THROWS_WITH(rig::remount(settings, {.overhang_mm = 20}),
                    "overhang of the part in mm is 20; a set-up whose hold has a mode of its own would be right");
  CHECK_THROWS_AS(rig::remount(settings, {.part_support_n_m = 1e6}), std::invalid_argument);
  CHECK_THROWS_AS(rig::remount(settings, {.holder_times = 0}), std::invalid_argument);
}
