#include "dashboard/lessons_keys.hpp"

#include <array>

namespace hushmill::dashboard {
namespace {

constexpr std::array kLines{
    LessonKeyLine{LessonAction::lesson_1, "1", "two forks"},
    LessonKeyLine{LessonAction::lesson_2, "2", "the wavy wall"},
    LessonKeyLine{LessonAction::lesson_3, "3", "the lobes"},
    LessonKeyLine{LessonAction::lesson_4, "4", "lower or higher"},
    LessonKeyLine{LessonAction::lesson_5, "5", "the corner"},
    LessonKeyLine{LessonAction::control_before, "Up", "the control before"},
    LessonKeyLine{LessonAction::control_after, "Down", "the next control"},
    LessonKeyLine{LessonAction::less, "Left", "turn it a step down; a held key goes on"},
    LessonKeyLine{LessonAction::more, "Right", "turn it a step up"},
    LessonKeyLine{LessonAction::first_deed, "Space", "what stands beside this key: strike, knock, leave a mark"},
    LessonKeyLine{LessonAction::second_deed, "Enter", "what stands beside this key"},
    LessonKeyLine{LessonAction::third_deed, "Backspace", "what stands beside this key"},
    LessonKeyLine{LessonAction::pause, "P", "stop the time, or let it go on"},
    LessonKeyLine{LessonAction::slower, "S", "4, 20, 100 times slower, then at its own speed again"},
    LessonKeyLine{LessonAction::begin_again, "R", "begin the lesson again"},
    LessonKeyLine{LessonAction::sound, "M", "sound on or off"},
    LessonKeyLine{LessonAction::speak_over, "V", "sound low, so that you can speak; once more for full"},
    LessonKeyLine{LessonAction::record, "E", "keep what is heard as a recording with its account, or end it"},
    LessonKeyLine{LessonAction::real_forks, "L", "two forks: listen to real ones by the microphone, or not"},
    LessonKeyLine{LessonAction::large_text, "G", "larger text, for a projector"},
    LessonKeyLine{LessonAction::theme, "T", "dark or light"},
    LessonKeyLine{LessonAction::full_screen, "F11", "full screen"},
    LessonKeyLine{LessonAction::keys, "F1", "show or hide these keys"},
    LessonKeyLine{LessonAction::leave, "Esc", "leave the lessons"},
};

}  // namespace

std::span<const LessonKeyLine> lesson_key_lines() noexcept { return kLines; }

std::optional<LessonAction> lesson_action_for(const std::string& key) {
  for (const LessonKeyLine& line : kLines)
    if (key == line.key) return line.action;
  if (key == "Ctrl+Q") return LessonAction::leave;
  return std::nullopt;
}

}  // namespace hushmill::dashboard
