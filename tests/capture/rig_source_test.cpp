#include "capture/rig_source.hpp"

#include <cmath>
#include <vector>

#include "rig/rig_settings.hpp"
#include "support/catch.hpp"

using namespace hushmill;

TEST_CASE("the rig's door hands out the rig's own sound, and its knobs reach the rig") {
  rig::Rig same{rig::RigSettings{}};
  capture::RigSource source{rig::Rig{rig::RigSettings{}}};
  CHECK(source.sample_rate_hz() == same.sample_rate_hz());
  CHECK(source.name() == "rig");
  std::vector<float> expected(10000);
  std::vector<float> heard(10000);
  same.process(expected);
  REQUIRE(source.read(std::span(heard).first(3000)) == 3000);
  REQUIRE(source.read(std::span(heard).subspan(3000)) == 7000);
  CHECK(heard == expected);
  CHECK_FALSE(source.ended());
  CHECK(source.lost_samples() == 0);

  rig::RigControls controls = source.controls();
  controls.spindle_rpm += 500;
  source.turn(controls);
  CHECK(source.controls().spindle_rpm == controls.spindle_rpm);
}
