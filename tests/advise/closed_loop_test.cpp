#include "advise/closed_loop.hpp"

#include "support/catch.hpp"

namespace {

using namespace hushmill::test;

// A small share of the benchmark's section `advice`, where the required figures are measured. Few scenes and fixed
// seeds: the bounds are loose, but an adviser that has gone wrong falls through them.
TEST_CASE("advice cures more simulated cuts, and sooner, than ten percent less each time", "[counts]") {
  const Reach s_word{0};
  int curable = 0;
  int first = 0;
  int third = 0;
  int ten_less = 0;
  for (const Scene& scene : draw_scenes(30, 11)) {
    Machine machine(scene);
    if (!all_knowing(machine, s_word)) continue;
    ++curable;
    const Followed followed = follow_adviser(machine, s_word, 3);
    first += followed.tries == 1;
    third += followed.tries != 0;
    ten_less += tries_of_minus_ten(machine, s_word, 3) != 0;
    for (const auto& call : followed.calls) {
      CHECK(call.rpm >= scene.min_rpm);
      CHECK(call.rpm <= scene.max_rpm);
    }
  }
  REQUIRE(curable >= 12);
  CHECK(first >= 0.5 * curable);
  CHECK(third >= 0.75 * curable);
  CHECK(third > ten_less);
}

TEST_CASE("every scene chatters before advice is asked") {
  for (const Scene& scene : draw_scenes(10, 12)) {
    Machine machine(scene);
    CHECK(machine.run(scene.programmed_rpm).chatters);
    CHECK(machine.run(scene.programmed_rpm).chatter_hz > 0);
  }
}

}  // namespace
