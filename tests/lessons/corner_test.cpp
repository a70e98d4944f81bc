// Chatter returns in every sharp corner, lap after lap, and not at constant engagement. The engine says when, the path
// where.
#include "lessons/corner.hpp"

#include <algorithm>
#include <cmath>

#include "lessons/run_lesson.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::lessons;

TEST_CASE("a speed that keeps the corners quiet counts before anything else was answered; what waits says for what") {
  Corner lesson(1);
  CHECK(lesson.scene().tasks[1].found.find("First the first question") != std::string::npos);
  lesson.set(Corner::spindle_rpm, 9480);
  test::run(lesson, 12.5);
  CHECK(lesson.scene().tasks[2].solved);
  CHECK_FALSE(lesson.scene().tasks[0].solved);
}

TEST_CASE(
    "sharp inside corners chatter lap after lap; constant engagement does not; another speed keeps the corners quiet") {
  Corner lesson(1);
  const auto solved = [&](std::size_t task) { return lesson.scene().tasks[task].solved; };
  test::run(lesson, 13.5);
  auto pocket = test::picture<CornerPicture>(lesson);
  REQUIRE(pocket.laps_done == 2);
  CHECK(solved(0));
  CHECK(pocket.per_lap[0] >= 3);  // the fourth corner of the first lap may be raised in the second
  CHECK(pocket.per_lap[1] >= 4);
  for (const auto& spot : pocket.chatter) {
    const double corner = std::round(spot.from_share * 4) / 4;
    INFO("lap " << spot.lap << ", " << spot.from_share << " of it");
    CHECK(std::abs(spot.from_share - corner) < 0.06);  // 7 mm of a lap of 120 mm
    CHECK(std::abs(spot.to_share - corner) < 0.09);    // the engine holds its alarm for a moment
  }
  const auto [least, most] = std::minmax_element(pocket.arc_deg.begin(), pocket.arc_deg.end());
  CHECK_THAT(static_cast<double>(*most - *least), test::WithinAbs(90, 3));

  // The second question asks for the same speed, and says so.
  const auto hint = [&] { return lesson.scene().tasks[1].found; };
  CHECK(hint() == "Turn the path.");
  lesson.set(Corner::spindle_rpm, 8520);
  CHECK(hint().find("S8400") != std::string::npos);
  lesson.set(Corner::spindle_rpm, 8400);
  lesson.set(Corner::which_path, 1);
  test::run(lesson, 13.5);
  pocket = test::picture<CornerPicture>(lesson);
  CHECK(pocket.laps_done == 2);
  CHECK(pocket.chatter.empty());
  CHECK(solved(1));
  const auto [lowest, highest] = std::minmax_element(pocket.arc_deg.begin(), pocket.arc_deg.end());
  CHECK_THAT(static_cast<double>(*highest - *lowest), test::WithinAbs(0, 0.01));

  lesson.set(Corner::which_path, 0);
  CHECK_FALSE(solved(2));
  lesson.set(Corner::spindle_rpm, 9480);
  test::run(lesson, 12.5);
  CHECK(solved(2));
  CHECK(test::picture<CornerPicture>(lesson).chatter.empty());
}
