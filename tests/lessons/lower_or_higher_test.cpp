// The three cuts: quiet both ways, only higher, by no speed at all. Each step is heard by the engine; nothing is looked
// up.
#include "lessons/lower_or_higher.hpp"

#include "lessons/run_lesson.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::lessons;

namespace {

Outcome heard_at(LowerOrHigher& lesson, double percent) {
  lesson.set(LowerOrHigher::percent, percent);
  for (int i = 0; i < 7; ++i) {
    test::run(lesson, 1);
    for (const KnobStep& step : test::picture<KnobPicture>(lesson).steps)
      if (step.percent == percent && step.heard != Outcome::open) return step.heard;
  }
  return Outcome::open;
}

bool solved(const LowerOrHigher& lesson, std::size_t task) { return lesson.scene().tasks[task].solved; }

}  // namespace

TEST_CASE("a chattering wall has quiet steps below and above") {
  LowerOrHigher lesson(1);
  CHECK(heard_at(lesson, 100) == Outcome::chatters);
  CHECK(heard_at(lesson, 90) == Outcome::quiet);
  CHECK(heard_at(lesson, 110) == Outcome::chatters);  // higher alone is no cure
  CHECK_FALSE(solved(lesson, 0));
  CHECK(heard_at(lesson, 120) == Outcome::quiet);
  CHECK(solved(lesson, 0));
}

TEST_CASE("with a long slender tool only higher is quiet") {
  LowerOrHigher lesson(1);
  lesson.set(LowerOrHigher::which_cut, 1);
  for (const double percent : {50, 60, 70, 80, 90, 100, 110, 120}) {
    INFO(percent << " %");
    CHECK(heard_at(lesson, percent) == Outcome::chatters);
  }
  CHECK_FALSE(solved(lesson, 1));
  CHECK(heard_at(lesson, 140) == Outcome::quiet);
  CHECK(solved(lesson, 1));
}

TEST_CASE("where no speed is quiet, a shorter tool, a stiffer hold or unequal flutes are") {
  LowerOrHigher lesson(1);
  lesson.set(LowerOrHigher::which_cut, 2);
  for (const double percent : {50, 60, 70, 80, 90, 100, 110, 120}) {
    INFO(percent << " %");
    CHECK(heard_at(lesson, percent) == Outcome::chatters);
  }
  CHECK_FALSE(solved(lesson, 2));
  // Where the class stands, each of the three cures; heard one after the other as a class would.
  for (const double cure : {1, 2, 3}) {
    INFO(std::get<KnobPicture>(lesson.scene().picture).stand);
    lesson.set(LowerOrHigher::stand, cure);
    CHECK(heard_at(lesson, 100) == Outcome::quiet);
    CHECK(solved(lesson, 2) == (cure >= 2));
  }
  // Unequal flutes and a stiffer hold move the limits, they do not lift them everywhere; a shorter tool does here.
  CHECK(heard_at(lesson, 80) == Outcome::chatters);
  lesson.set(LowerOrHigher::stand, 2);
  CHECK(heard_at(lesson, 110) == Outcome::chatters);
  lesson.set(LowerOrHigher::stand, 1);
  for (const double percent : {70, 80, 110}) CHECK(heard_at(lesson, percent) == Outcome::quiet);
  // The knob of this machine ends at 120 %.
  lesson.set(LowerOrHigher::percent, 150);
  CHECK(lesson.scene().controls[LowerOrHigher::percent].value == 120);
}
