#include "dashboard/lessons_window.hpp"

#include "dashboard/lessons_screen.hpp"
#include "dashboard/plain_window.hpp"

namespace hushmill::dashboard {

int run_lessons(const LessonsSettings& settings, const LessonsDoor& door) {
  live::LessonState state;
  LessonsView view;
  view.light = settings.window.light_theme;
  view.large = settings.large_text;
  view.full_screen = settings.window.full_screen;
  PlainScreen screen;
  screen.poll = [&] {
    bool newer = false;
    while (door.poll(state)) newer = true;
    return newer;
  };
  screen.unit = [&](float width, float height, float scale) {
    return lay_out_lessons(width, height, scale, view.large).unit;
  };
  screen.light = [&] { return view.light; };
  screen.full_screen = [&] { return view.full_screen; };
  screen.leave = [&] { return view.leave_wanted; };
  screen.frame = [&](Canvas& canvas, float width, float height, float scale, const Input& input) {
    std::vector<live::LessonCommand> commands;
    const auto layout = [&] { return lay_out_lessons(width, height, scale, view.large, state.scene); };
    take_lessons_input(layout(), state, view, input, commands);
    for (const auto& command : commands) door.send(command);
    draw_lessons(canvas, layout(), state, view);
  };
  return run_plain_window(settings.window, screen);
}

}  // namespace hushmill::dashboard
