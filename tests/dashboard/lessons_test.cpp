// The lessons' screen, with real lessons behind it: nothing is cut off, keys do what their card says, cautions stand
// by.
#include <algorithm>
#include <cctype>
#include <cmath>
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
        const LessonsLayout layout = lay_out_lessons(w, h, 1, large, state.scene);
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

TEST_CASE("large text is nowhere smaller than normal text, and says as much") {
  for (const auto name : lessons::kNames) {
    live::LessonState state = state_of(name);
    // Answers as long as the lessons' longest.
    for (auto& task : state.scene.tasks) {
      task.solved = true;
      task.found =
          "Chatter at 50 to 120 %; quiet at 130 to 150 %. A slender tool has a low note: its wide pockets lie high, "
          "and "
          "raising is right if spindle, holder and tool allow it.";
    }
    if (name == lessons::Name::wavy_wall) {
      state.scene.words[1] =
          "The wall stays wavy, 26 micrometres, as the teeth push near the tool's own note (875 and 900 Hz). Each "
          "repeats "
          "the last one's wave, so the chip stays even: it is driven by the teeth, not by the wave.";
      state.scene.words.push_back(
          "The engine's alarm at 917 Hz is still on, but less than a micrometre of that wave is in the wall.");
    }
    for (const auto& [w, h] : {std::pair{1280.0F, 720.0F}, std::pair{1920.0F, 1080.0F}}) {
      std::vector<DrawnText> normal, enlarged;
      for (const bool large : {false, true}) {
        const LessonsLayout layout = lay_out_lessons(w, h, 1, large, state.scene);
        test::PlainStage stage(w, h, layout.unit);
        LessonsView view;
        view.large = large;
        (large ? enlarged : normal) =
            stage.show(false, [&](Canvas& canvas) { draw_lessons(canvas, layout, state, view); }).texts;
        stage.check_tidy();
        for (const std::string& one : state.scene.words) CHECK(stage.says(test::plain(one)));
      }
      for (const DrawnText& text : normal) {
        INFO(lessons::word(name) << ", " << w << " wide, " << text.panel << ": " << text.text);
        const auto same = std::find_if(enlarged.begin(), enlarged.end(), [&](const DrawnText& other) {
          return other.panel == text.panel && other.text == text.text;
        });
        // An axis may have fewer figures.
        if (same == enlarged.end() && std::none_of(text.text.begin(), text.text.end(), [](char c) {
              return std::isalpha(static_cast<unsigned char>(c)) != 0;
            }))
          continue;
        REQUIRE(same != enlarged.end());
        CHECK(same->size_px >= text.size_px);
      }
    }
  }
}

TEST_CASE("slowed time is said, and what cannot be heard is not called low") {
  live::LessonState state = state_of(lessons::Name::corner);
  const LessonsLayout layout = lay_out_lessons(1280, 720, 1, false, state.scene);
  test::PlainStage stage(1280, 720, layout.unit);
  const auto show = [&] { stage.show(false, [&](Canvas& canvas) { draw_lessons(canvas, layout, state, {}); }); };
  state.slow = 20;
  state.spoken_over = true;
  state.scene.heard->verdict = listen::Verdict::no_cut;
  show();
  CHECK(stage.says("20 times slower: 3 s take 60 s"));
  CHECK(stage.says("hears no cut: time is slowed 20 times"));
  CHECK(stage.says("too slow to hear"));
  CHECK_FALSE(stage.says("sound low"));
  state.slow = 4;
  show();
  CHECK(stage.says("sound low"));
  state.microphone = true;
  show();
  CHECK_FALSE(stage.says("slower:"));
  CHECK_FALSE(stage.says("sound low"));
}

TEST_CASE("quiet at a speed that chattered is not called a steady cut") {
  live::LessonState state = state_of(lessons::Name::corner);
  const LessonsLayout layout = lay_out_lessons(1280, 720, 1, false, state.scene);
  test::PlainStage stage(1280, 720, layout.unit);
  const auto show = [&] { stage.show(false, [&](Canvas& canvas) { draw_lessons(canvas, layout, state, {}); }); };
  state.scene.heard->verdict = listen::Verdict::steady;
  state.scene.heard->chatter_hz.reset();
  state.scene.heard->chatter_s = 0;
  show();
  CHECK(stage.says("The engine hears a steady cut"));
  state.scene.heard->chatter_s = 0.4;
  show();
  CHECK_FALSE(stage.says("a steady cut"));
  CHECK(stage.says("quiet now, at a speed that chattered"));
}

TEST_CASE("a lane's curve stays inside and fills it, however quiet or loud the sound is") {
  const Rect lane{100, 50, 400, 60};
  for (const float loud : {0.002F, 0.02F, 1.6F, 40.0F}) {
    std::vector<float> beat;
    for (int i = 0; i < 700; ++i) beat.push_back(loud * std::abs(std::sin(0.05F * static_cast<float>(i))));
    const auto curve = lane_curve(lane, beat, 500, *std::max_element(beat.begin(), beat.end()), 2);
    REQUIRE(curve.size() == 500);
    float top = 1e9F;
    int on_top = 0;
    for (const Point& point : curve) {
      CHECK((point.x >= lane.x && point.x <= lane.right() && point.y >= lane.y && point.y <= lane.bottom()));
      top = std::min(top, point.y);
    }
    for (const Point& point : curve) on_top += point.y < top + 0.01F ? 1 : 0;
    CHECK(top < lane.y + 3);
    CHECK(on_top < 20);  // no flat tops
  }
}

TEST_CASE("the forks by microphone show no control that does nothing, and L is on the screen") {
  live::LessonState state = state_of(lessons::Name::forks);
  const auto show = [&](const std::string& words) {
    const LessonsLayout layout = lay_out_lessons(1280, 720, 1, false, state.scene);
    test::PlainStage stage(1280, 720, layout.unit);
    stage.show(false, [&](Canvas& canvas) { draw_lessons(canvas, layout, state, {}); });
    stage.check_tidy();
    return stage.says(words);
  };
  CHECK(show("L microphone"));
  const auto lesson = lessons::make_lesson(lessons::Name::forks);
  lesson->hear(std::vector<float>(48000));
  state.scene = lesson->scene();
  state.microphone = true;
  CHECK(show("L simulation"));
  CHECK(show("L goes back to the simulated forks"));
  CHECK(show("of full scale"));
  CHECK_FALSE(show("Strike the first"));
  CHECK_FALSE(show("Ring time"));
  CHECK_FALSE(show("E record"));
  CHECK_FALSE(show("S slower"));
}

TEST_CASE("without a cut the wavy wall shows no chip, and its scale stands in the picture") {
  const auto lesson = lessons::make_lesson(lessons::Name::wavy_wall);
  live::LessonState state = state_of(lessons::Name::wavy_wall);
  const auto show = [&](const std::string& words) {
    const LessonsLayout layout = lay_out_lessons(1280, 720, 1, false, state.scene);
    test::PlainStage stage(1280, 720, layout.unit);
    stage.show(false, [&](Canvas& canvas) { draw_lessons(canvas, layout, state, {}); });
    return stage.says(words);
  };
  CHECK(show("Chip 60 \xC2\xB5m, even"));
  CHECK(show("50 \xC2\xB5m"));
  std::vector<float> little(4800);
  lesson->process(little);
  state.scene = lesson->scene();
  CHECK(show("No chip: the tool is out of the cut"));
  CHECK_FALSE(show("amber is the chip"));
  // Which line of chatter's family the engine heard is said beside it.
  state.scene.heard->verdict = listen::Verdict::chatter;
  state.scene.heard->chatter_hz = 1336;
  state.scene.heard->motion_hz = 968;
  CHECK(show("the tip swings at 968 Hz"));
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
