// What all lessons have in common.
#include "lessons/lesson.hpp"

#include <cmath>
#include <limits>
#include <vector>

#include "lessons/run_lesson.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using namespace hushmill::lessons;

TEST_CASE("a lesson is the same again with the same seed, in blocks of any size") {
  for (const Name name : {Name::forks, Name::wavy_wall, Name::corner}) {
    const auto one = make_lesson(name, 7), other = make_lesson(name, 7);
    std::vector<float> whole(2 * 48000), pieces(whole.size());
    one->act(0);
    other->act(0);
    one->process(whole);
    for (std::size_t at = 0, size = 1; at < pieces.size(); at += size, size = size % 977 + 61)
      other->process(std::span(pieces).subspan(at, std::min(size, pieces.size() - at)));
    INFO(word(name));
    CHECK(whole == pieces);
  }
}

TEST_CASE("every lesson has a picture, controls, deeds and questions, and takes no nonsense") {
  for (const Name name : kNames) {
    INFO(word(name));
    CHECK(name_of(word(name)) == name);
    if (name == Name::lobes) continue;  // its chart takes a second: it has a test of its own
    const auto lesson = make_lesson(name);
    Scene scene = lesson->scene();
    CHECK(scene.name == name);
    CHECK(scene.controls.size() >= 2);
    CHECK(scene.controls.size() <= 3);
    CHECK_FALSE(scene.deeds.empty());
    CHECK(scene.tasks.size() == 3);
    for (const Task& task : scene.tasks) CHECK_FALSE(task.solved);
    CHECK_FALSE(lesson->set(scene.controls.size(), 0));
    CHECK_FALSE(lesson->set(0, std::numeric_limits<double>::quiet_NaN()));
    CHECK_FALSE(lesson->act(scene.deeds.size()));
    for (std::size_t i = 0; i < scene.controls.size(); ++i) {
      lesson->set(i, 1e9);
      CHECK(lesson->scene().controls[i].value == lesson->scene().controls[i].to);
      lesson->set(i, -1e9);
      CHECK(lesson->scene().controls[i].value == lesson->scene().controls[i].from);
    }
    CHECK(test::run(*lesson, 0.5) <= 1);
  }
  CHECK_FALSE(name_of("lesson six"));
}
