// The lessons' screen, with real lessons behind it: nothing is cut off, keys do what their card says, cautions stand
// by.
#include <vector>

#include "dashboard/lessons_keys.hpp"
#include "dashboard/lessons_screen.hpp"
#include "lessons/lesson.hpp"
#include "plain.hpp"
#include "plain_stage.hpp"

using namespace hushmill;
using namespace hushmill::dashboard;

namespace {

/// A lesson that went on for some seconds; the chart is made up, since the real one takes a second.
live::LessonState state_of(lessons::Name name) {
  live::LessonState state;
  state.making = false;
  if (name == lessons::Name::lobes) {
    state.scene = lessons::make_lesson(lessons::Name::wavy_wall)->scene();
    state.scene.name = name;
    lessons::LobesPicture picture{3000, 10000, 5, {}, {}, {6800, 1.8, lessons::Outcome::open}, 1.9};
    for (double rpm = 3000; rpm <= 10000; rpm += 100) picture.limit.push_back({rpm, 2.5, lessons::Outcome::open});
    picture.marks = {{6800, 1.8, lessons::Outcome::quiet},
                     {6800, 2.2, lessons::Outcome::chatters},
                     {7000, 2.2, lessons::Outcome::open}};
    state.scene.picture = picture;
    return state;
  }
  const auto lesson = lessons::make_lesson(name);
  lesson->act(0);
  std::vector<float> sound(2 * 48000);
  lesson->process(sound);
  state.scene = lesson->scene();
  return state;
}

std::vector<live::LessonCommand> pressed(const live::LessonState& state, LessonsView& view,
                                         std::vector<std::string> keys) {
  std::vector<live::LessonCommand> commands;
  Input input;
  input.keys = std::move(keys);
  take_lessons_input(lay_out_lessons(1280, 720, 1, view.large), state, view, input, commands);
  return commands;
}

}  // namespace

TEST_CASE("every lesson is tidy in the window and on the projector, with large text too") {
  for (const auto name : lessons::kNames) {
    live::LessonState state = state_of(name);
    state.recording = state.paused = state.spoken_over = true;
    state.slow = 20;
    for (const bool large : {false, true})
      for (const auto& [w, h] : {std::pair{1280.0F, 720.0F}, std::pair{1920.0F, 1080.0F}}) {
        INFO(lessons::word(name) << (large ? ", large, " : ", ") << w << " wide");
        const LessonsLayout layout =
            lay_out_lessons(w, h, 1, large, state.scene.controls.size(), state.scene.deeds.size());
        test::PlainStage stage(w, h, layout.unit);
        LessonsView view;
        view.large = large;
        view.light = large;
        stage.show(view.light, [&](Canvas& canvas) { draw_lessons(canvas, layout, state, view); });
        stage.check_tidy();
        CHECK(stage.says(std::string(lessons::title(name))));
        CHECK(stage.says("recording"));
        CHECK(stage.says("Advice only") == state.scene.advises);
        for (const auto& task : state.scene.tasks) CHECK(stage.says(test::plain(task.question)));
      }
  }
}

TEST_CASE("keys and mouse of the lessons become commands") {
  live::LessonState state = state_of(lessons::Name::forks);
  LessonsView view;
  CHECK(std::get<live::DoDeed>(pressed(state, view, {"Space"}).at(0)).deed == 0);
  CHECK(std::get<live::DoDeed>(pressed(state, view, {"Enter"}).at(0)).deed == 1);
  CHECK_THAT(std::get<live::TurnControl>(pressed(state, view, {"Right"}).at(0)).value, test::WithinAbs(436.1, 1e-9));
  pressed(state, view, {"Down"});
  CHECK(std::get<live::TurnControl>(pressed(state, view, {"Left"}).at(0)).control == 1);
  CHECK(std::get<live::OpenLesson>(pressed(state, view, {"5"}).at(0)).name == lessons::Name::corner);
  CHECK(std::get<live::PauseLesson>(pressed(state, view, {"P"}).at(0)).paused);
  CHECK(std::get<live::SlowLesson>(pressed(state, view, {"S"}).at(0)).times == 4);
  state.slow = 100;
  CHECK(std::get<live::SlowLesson>(pressed(state, view, {"S"}).at(0)).times == 1);
  CHECK(std::get<live::RecordLesson>(pressed(state, view, {"E"}).at(0)).on);
  CHECK(std::get<live::SpeakOver>(pressed(state, view, {"V"}).at(0)).on);
  CHECK(pressed(state, view, {"G", "F1", "Esc"}).empty());
  CHECK(view.large);
  CHECK_FALSE(view.leave_wanted);  // the card of keys was closed, not the lessons
  pressed(state, view, {"Esc"});
  CHECK(view.leave_wanted);
  for (const LessonKeyLine& line : lesson_key_lines()) CHECK(lesson_action_for(line.key) == line.action);
  // The bar of the first control, three quarters along.
  const LessonsLayout layout = lay_out_lessons(1280, 720, 1, true);
  const Rect bar = lesson_bar(layout, 0, state.scene.controls.size());
  Input input;
  input.clicked = input.mouse_down = true;
  input.mouse_x = bar.x + 0.75F * bar.w;
  input.mouse_y = bar.middle_y();
  std::vector<live::LessonCommand> commands;
  take_lessons_input(layout, state, view, input, commands);
  REQUIRE(commands.size() == 1);
  CHECK_THAT(std::get<live::TurnControl>(commands[0]).value, test::WithinAbs(445, 0.06));
}
