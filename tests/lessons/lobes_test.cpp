// Marks on the stability chart: the curve comes from the theory, the marks from the engine's ear, and they agree.
#include "lessons/lobes.hpp"

#include "lessons/run_lesson.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::lessons;

TEST_CASE("marks below the lobes are quiet and marks above them chatter, as the engine hears it") {
  Lobes lesson(1);
  const auto mark = [&](double rpm, double depth_mm) {
    lesson.set(Lobes::spindle_rpm, rpm);
    lesson.set(Lobes::depth_mm, depth_mm);
    lesson.act(Lobes::leave_mark);
    test::run(lesson, 6);
    return test::picture<LobesPicture>(lesson).marks.back().heard;
  };
  const auto solved = [&](std::size_t task) { return lesson.scene().tasks[task].solved; };
  // 6800 rpm lies between pockets, 6050 in one, 8600 in the next.
  REQUIRE(lesson.limit_mm(6800) < 2.2);
  REQUIRE(lesson.limit_mm(6000) > 3.1);
  CHECK(lesson.scene().tasks[1].found.find("First fence the limit in") != std::string::npos);
  CHECK(mark(6800, 1.8) == Outcome::quiet);
  CHECK_FALSE(solved(0));
  CHECK(mark(6800, 2.2) == Outcome::chatters);
  CHECK(solved(0));
  CHECK(lesson.scene().tasks[1].found.find("3.3 mm") != std::string::npos);  // half as deep again as 2.2
  CHECK(mark(6800, 3.1) == Outcome::chatters);
  CHECK_FALSE(solved(1));
  CHECK(mark(6050, 3.1) == Outcome::quiet);
  CHECK_FALSE(solved(1));  // not yet half as deep again as 2.2 mm
  CHECK_FALSE(solved(2));
  CHECK(mark(8600, 3.1) == Outcome::quiet);
  CHECK(solved(2));
  CHECK(mark(8600, 3.4) == Outcome::quiet);
  CHECK(solved(1));
  // A mark that is left before the engine is sure is dropped, not guessed.
  lesson.act(Lobes::leave_mark);
  lesson.set(Lobes::depth_mm, 1.0);
  lesson.act(Lobes::leave_mark);
  test::run(lesson, 0.5);
  const auto marks = test::picture<LobesPicture>(lesson).marks;
  CHECK(marks.back().heard == Outcome::open);
  lesson.set(Lobes::depth_mm, 1.5);
  CHECK(test::picture<LobesPicture>(lesson).marks.size() == marks.size() - 1);
}
