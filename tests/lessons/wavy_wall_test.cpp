// The wave that one tooth leaves to the next: it dies below the limit of the theory and swells above it, at every
// speed.
#include "lessons/wavy_wall.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "lessons/run_lesson.hpp"
#include "lessons/wavy_cut.hpp"
#include "lessons/wavy_words.hpp"
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

bool says(const Scene& scene, const std::string& words) {
  for (const std::string& one : scene.words)
    if (one.find(words) != std::string::npos) return true;
  return false;
}

/// "drives the wave on" may be said of a wave that grows or is kept up, and of none else.
void check_words_follow_the_wall(const Scene& scene) {
  const auto wall = std::get<WallPicture>(scene.picture);
  const bool driven = wall.wave == Wave::grows || wall.wave == Wave::bounded;
  for (const std::string& one : scene.words) INFO(one);
  CHECK((says(scene, "force drives the wave on") || says(scene, "force keeps it up")) <= driven);
  CHECK(says(scene, "grows by") == (wall.wave == Wave::grows));
  CHECK(says(scene, "shrinks by") <= (wall.wave == Wave::dies));
  CHECK(says(scene, "chip was even") == (wall.wave != Wave::no_cut && wall.thickest_um - wall.thinnest_um < 0.5));
}

}  // namespace

TEST_CASE("the words of the wall follow what it does: even, forced, growing, bounded, dying, no cut") {
  WavyWall lesson(1);
  const auto wave = [&] {
    check_words_follow_the_wall(lesson.scene());
    return test::picture<WallPicture>(lesson).wave;
  };
  test::run(lesson, 0.5);
  CHECK(wave() == Wave::no_cut);  // the engine learns the room
  CHECK(test::picture<WallPicture>(lesson).chip_um == 0);
  test::run(lesson, 3);
  // 3.37 waves would not fit, but at 1.2 mm there is none.
  CHECK(wave() == Wave::even);
  CHECK(says(lesson.scene(), "below the limit"));
  lesson.set(WavyWall::depth_mm, 2.6);
  lesson.set(WavyWall::spindle_rpm, 4800);
  bool grew = false;
  for (int i = 0; i < 4; ++i) {
    test::run(lesson, 0.05);
    grew = grew || wave() == Wave::grows;
  }
  CHECK(grew);
  test::run(lesson, 3);
  CHECK(wave() == Wave::bounded);
  // Turned to where it dies: just then the wave shrinks, a little later none is left, and the alarm that still stands
  // is said to stand on nothing.
  lesson.set(WavyWall::spindle_rpm, 6200);
  bool died = false;
  std::vector<float> little(120);
  for (int i = 0; i < 40; ++i) {
    lesson.process(little);
    died = died || wave() == Wave::dies;
  }
  CHECK(died);
  test::run(lesson, 0.15);
  REQUIRE(lesson.scene().heard->chatter_hz);
  CHECK(says(lesson.scene(), "alarm"));
  lesson.act(WavyWall::knock);
  test::run(lesson, 3);
  CHECK(wave() == Wave::forced);
  CHECK_FALSE(says(lesson.scene(), "alarm"));
  const Task died_away = lesson.scene().tasks[1];
  REQUIRE(died_away.solved);
  CHECK(died_away.found.find("2.18 waves") != std::string::npos);
  CHECK(died_away.found.find("so the new one lies beside") == std::string::npos);  // 0.18 of a wave is not beside
  // The teeth ring the tool at its own note: the wall is as wavy as one likes, and still even from tooth to tooth.
  lesson.set(WavyWall::spindle_rpm, 6560);
  test::run(lesson, 1);
  CHECK(wave() == Wave::forced);
  CHECK(test::picture<WallPicture>(lesson).swing_um > 20);
  CHECK(says(lesson.scene(), "own note (875 and 900 Hz)"));
  lesson.act(WavyWall::leave_cut);
  test::run(lesson, 0.5);
  CHECK(wave() == Wave::no_cut);
  CHECK(test::picture<WallPicture>(lesson).thickest_um == 0);
  CHECK_FALSE(says(lesson.scene(), "chip was"));
}

TEST_CASE("whoever divides the engine's line by the teeth is told which line of the family it is") {
  // 968 Hz and teeth of 368 Hz: 2.63 waves. The engine may find 1336, 600 or the mirror of 968 - 1104, 136 Hz, loudest.
  WallPicture wall;
  wall.measured = true;
  wall.tooth_hz = 368;
  for (const auto& [line_hz, off, words] : {std::tuple{968.0, 0, ""},
                                            {1336.0, 1, "968 + 1 \u00d7 368 Hz"},
                                            {1704.0, 2, "968 + 2 \u00d7 368 Hz"},
                                            {600.0, -1, "968 - 1 \u00d7 368 Hz"},
                                            {136.0, -3, "3 \u00d7 368 - 968 Hz"},
                                            {918.0, 0, "still names the 918 Hz"}}) {
    Heard heard;
    heard.chatter_hz = line_hz;
    name_family(heard, 968, 368);
    INFO(line_hz);
    CHECK(heard.multiples_off == off);
    CHECK(heard.motion_hz.has_value() == (line_hz != 968));
    std::string said = alarm_words(wall, heard);
    for (std::size_t at; (at = said.find("\u00a0")) != std::string::npos;) said.replace(at, 2, " ");
    if (*words == 0) CHECK(said.empty());
    CHECK(said.find(words) != std::string::npos);
  }
}

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

TEST_CASE("a wavy wall without an alarm is explained: a tone on a rotation multiple cannot be told from runout") {
  lessons::WallPicture wall;
  wall.wave = lessons::Wave::bounded;
  wall.measured = true;
  wall.tooth_hz = 5200.0 / 60 * 4;
  wall.flutes = 4;
  wall.wave_hz = 955;  // beside 11 x 86.67 = 953.3
  lessons::Heard heard;
  heard.verdict = listen::Verdict::steady;
  heard.quiet_s = 3;
  CHECK(lessons::alarm_words(wall, heard).find("955 Hz stands beside a multiple of the rotation, 953 Hz") != std::string::npos);
  wall.wave_hz = 1000;
  CHECK(lessons::alarm_words(wall, heard).find("no alarm") != std::string::npos);
  CHECK(lessons::alarm_words(wall, heard).find("rotation") == std::string::npos);
  heard.quiet_s = 0.2;  // it may come yet
  CHECK(lessons::alarm_words(wall, heard).empty());
  heard.quiet_s = 3;
  wall.wave = lessons::Wave::even;
  CHECK(lessons::alarm_words(wall, heard).empty());
}
