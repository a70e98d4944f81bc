// The wave that one tooth leaves to the next: it dies below the limit of the theory and swells above it, at every
// speed.
#include "lessons/wavy_wall.hpp"

#include <algorithm>
#include <cmath>

#include "lessons/run_lesson.hpp"
#include "lessons/wavy_cut.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::lessons;

namespace {

/// How far the tip swings at the end over how far it swung soon after the cut was made
/// deeper; an even push, no noise.
double swelling(double tooth_hz, double limits) {
  WavyCutSettings settings;
  settings.push = 0;
  settings.noise = 0;
  settings.tooth_hz = tooth_hz;
  const double limit_mm = wavy_limit(settings).depth_mm;
  settings.depth_mm = 0.5 * limit_mm;
  WavyCut cut(settings, 96000);
  cut.set_in_cut(true);
  const auto swing_um = [&](int steps) {
    double least = 1e9, most = -1e9;
    for (int i = 0; i < steps; ++i) {
      cut.step();
      least = std::min(least, cut.tip_um());
      most = std::max(most, cut.tip_um());
    }
    return most - least;
  };
  swing_um(96000 / 2);
  cut.set_depth_mm(limits * limit_mm);
  swing_um(static_cast<int>(3 * 96000 / tooth_hz));
  const double before = swing_um(4800);
  swing_um(96000 / 2);
  return swing_um(4800) / before;
}

}  // namespace

TEST_CASE("the least limit of the wavy wall is that of the theory of one mode") {
  // J. Tlusty's lowest limit of one mode, b = 2kζ(1 + ζ)/K (from memory), and between lobes it is higher.
  WavyCutSettings settings;
  double least_mm = 1e9, most_mm = 0;
  for (double tooth_hz = 120; tooth_hz < 200; tooth_hz += 0.25) {
    settings.tooth_hz = tooth_hz;
    least_mm = std::min(least_mm, wavy_limit(settings).depth_mm);
    most_mm = std::max(most_mm, wavy_limit(settings).depth_mm);
  }
  const double z = settings.tip.damping_ratio;
  const double theory_mm = 1e3 * 2 * settings.tip.stiffness_n_m * z * (1 + z) / (settings.resistance_n_mm2 * 1e6);
  CHECK_THAT(least_mm, test::WithinRel(theory_mm, 0.002));
  CHECK(most_mm > 1.8 * theory_mm);
}

TEST_CASE("a knock dies below the limit and swells above it, in a pocket as between") {
  for (const double tooth_hz : {150.0, 235.0, 260.0, 320.0, 435.0}) {
    INFO(tooth_hz << " teeth a second");
    CHECK(swelling(tooth_hz, 0.95) < 0.5);
    CHECK(swelling(tooth_hz, 1.05) > 2);
  }
}

TEST_CASE("the engine hears the wave swell out of step, and in step the same depth and half as much again stay quiet") {
  WavyWall lesson(1);
  const auto solved = [&](std::size_t task) { return lesson.scene().tasks[task].solved; };
  lesson.set(WavyWall::spindle_rpm, 4800);
  lesson.set(WavyWall::depth_mm, 1.2);
  test::run(lesson, 3);
  CHECK_FALSE(solved(0));  // under the limit, also between pockets
  lesson.set(WavyWall::depth_mm, 2.6);
  const float loud = test::run(lesson, 4);
  CHECK(solved(0));
  auto wall = test::picture<WallPicture>(lesson);
  CHECK(wall.thickest_um > 1.5 * wall.feed_um);
  CHECK(wall.thinnest_um < 0.5 * wall.feed_um);
  CHECK(loud < 1);
  // Not cured by a speed that is out of step, too.
  lesson.set(WavyWall::spindle_rpm, 5200);
  lesson.act(WavyWall::knock);
  test::run(lesson, 3.5);
  CHECK_FALSE(solved(1));
  lesson.set(WavyWall::spindle_rpm, 4400);
  test::run(lesson, 1);
  lesson.act(WavyWall::knock);
  test::run(lesson, 3.5);
  CHECK(solved(1));
  CHECK_FALSE(solved(2));
  wall = test::picture<WallPicture>(lesson);
  CHECK(wall.thickest_um < 1.05 * wall.feed_um);
  CHECK(wall.thinnest_um > 0.95 * wall.feed_um);
  // Beside a whole number of waves.
  CHECK_THAT(wall.waves_per_tooth - std::round(wall.waves_per_tooth), test::WithinAbs(0, 0.1));
  lesson.set(WavyWall::depth_mm, 3.9);
  test::run(lesson, 1);
  lesson.act(WavyWall::knock);
  test::run(lesson, 3.5);
  CHECK(solved(2));
}
