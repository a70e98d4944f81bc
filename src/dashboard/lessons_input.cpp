#include <algorithm>
#include <array>
#include <cmath>

#include "dashboard/lessons_keys.hpp"
#include "dashboard/lessons_screen.hpp"

namespace hushmill::dashboard {
namespace {

constexpr std::array kSlow{1.0, 4.0, 20.0, 100.0};

double next_slow(double now) {
  for (const double times : kSlow)
    if (times > now + 0.5) return times;
  return kSlow.front();
}

class Hand {
 public:
  Hand(const live::LessonState& state, LessonsView& view, std::vector<live::LessonCommand>& commands)
      : state_(state), view_(view), commands_(commands) {}

  void turn(double steps) {
    const auto& controls = state_.scene.controls;
    if (controls.empty()) return;
    const auto& control = controls[std::min(view_.control, controls.size() - 1)];
    commands_.emplace_back(live::TurnControl{view_.control, control.value + steps * control.step});
  }
  void deed(std::size_t deed) {
    if (deed < state_.scene.deeds.size()) commands_.emplace_back(live::DoDeed{deed});
  }
  void choose(int by) {
    const auto count = static_cast<int>(state_.scene.controls.size());
    if (count > 0) view_.control = static_cast<std::size_t>((static_cast<int>(view_.control) + by + count) % count);
  }
  void open(std::size_t tab) {
    commands_.emplace_back(live::OpenLesson{lessons::kNames[tab]});
    view_.control = 0;
  }
  void act(LessonAction action);

 private:
  const live::LessonState& state_;
  LessonsView& view_;
  std::vector<live::LessonCommand>& commands_;
};

void Hand::act(LessonAction action) {
  switch (action) {
    case LessonAction::lesson_1:
    case LessonAction::lesson_2:
    case LessonAction::lesson_3:
    case LessonAction::lesson_4:
    case LessonAction::lesson_5:
      return open(static_cast<std::size_t>(action) - static_cast<std::size_t>(LessonAction::lesson_1));
    case LessonAction::control_before:
      return choose(-1);
    case LessonAction::control_after:
      return choose(1);
    case LessonAction::less:
      return turn(-1);
    case LessonAction::more:
      return turn(1);
    case LessonAction::first_deed:
      return deed(0);
    case LessonAction::second_deed:
      return deed(1);
    case LessonAction::third_deed:
      return deed(2);
    case LessonAction::pause:
      commands_.emplace_back(live::PauseLesson{!state_.paused});
      return;
    case LessonAction::slower:
      commands_.emplace_back(live::SlowLesson{next_slow(state_.slow)});
      return;
    case LessonAction::begin_again:
      commands_.emplace_back(live::ResetLesson{});
      return;
    case LessonAction::sound:
      commands_.emplace_back(live::LessonVolume{state_.volume > 0 ? 0.0 : 1.0});
      return;
    case LessonAction::speak_over:
      commands_.emplace_back(live::SpeakOver{!state_.spoken_over});
      return;
    case LessonAction::record:
      commands_.emplace_back(live::RecordLesson{!state_.recording});
      return;
    case LessonAction::real_forks:
      commands_.emplace_back(live::HearForks{!state_.microphone});
      return;
    case LessonAction::large_text:
      view_.large = !view_.large;
      return;
    case LessonAction::theme:
      view_.light = !view_.light;
      return;
    case LessonAction::full_screen:
      view_.full_screen = !view_.full_screen;
      return;
    case LessonAction::keys:
      view_.show_keys = !view_.show_keys;
      return;
    case LessonAction::leave:
      if (view_.show_keys) {
        view_.show_keys = false;
      } else {
        view_.leave_wanted = true;
      }
      return;
  }
}

}  // namespace

void take_lessons_input(const LessonsLayout& layout, const live::LessonState& state, LessonsView& view,
                        const Input& input, std::vector<live::LessonCommand>& commands) {
  Hand hand(state, view, commands);
  const std::size_t controls = state.scene.controls.size();
  view.control = controls == 0 ? 0 : std::min(view.control, controls - 1);
  for (const std::string& key : input.keys)
    if (const auto action = lesson_action_for(key)) hand.act(*action);

  if (!input.mouse_down) view.dragging.reset();
  if (input.clicked && !view.show_keys) {
    for (std::size_t tab = 0; tab < lessons::kNames.size(); ++tab)
      if (lesson_tab(layout, tab).contains(input.mouse_x, input.mouse_y)) hand.open(tab);
    for (std::size_t deed = 0; deed < state.scene.deeds.size(); ++deed)
      if (lesson_button(layout, deed, controls).contains(input.mouse_x, input.mouse_y)) hand.deed(deed);
    for (std::size_t control = 0; control < controls; ++control)
      if (lesson_bar(layout, control, controls).inset(0, -8 * layout.unit).contains(input.mouse_x, input.mouse_y))
        view.dragging = view.control = control;
  }
  if (view.dragging && *view.dragging < controls) {
    const Rect bar = lesson_bar(layout, *view.dragging, controls);
    const auto& control = state.scene.controls[*view.dragging];
    const double share = std::clamp(static_cast<double>((input.mouse_x - bar.x) / bar.w), 0.0, 1.0);
    const double value = control.from + std::round(share * (control.to - control.from) / control.step) * control.step;
    if (std::abs(value - control.value) > control.step / 2)
      commands.emplace_back(live::TurnControl{*view.dragging, value});
  }
}

}  // namespace hushmill::dashboard
