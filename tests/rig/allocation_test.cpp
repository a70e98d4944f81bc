#include <vector>

#include "support/counted_here.hpp"
#include "rig/rig.hpp"
#include "rig/rig_settings.hpp"
#include "support/catch.hpp"

TEST_CASE("Running, turning the knobs and asking for the truth allocate nothing") {
  using namespace hushmill;
  rig::RigSettings settings = rig::tray_pocket();
  rig::Rig rig(settings);
  std::vector<float> block(480);
  const long long before = test::allocations_here();
  double sum = 0;
  for (int i = 0; i < 200; ++i) {
    rig::RigControls controls = rig.controls();
    controls.depth_mm = 0.5 + 0.02 * i;
    controls.in_cut = i % 50 < 40;
    rig.turn(controls);
    rig.process(block);
    sum += rig.truth().chatter_rms;
  }
  const long long after = test::allocations_here();
  CHECK(after == before);
  CHECK(sum > 0);
}
