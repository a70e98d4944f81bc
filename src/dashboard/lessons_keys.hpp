// What a key does in the lessons. One table serves the keyboard and the card that lists the keys.
#pragma once

#include <optional>
#include <span>
#include <string>

namespace hushmill::dashboard {

enum class LessonAction {
  lesson_1,
  lesson_2,
  lesson_3,
  lesson_4,
  lesson_5,
  control_before,
  control_after,
  less,
  more,
  first_deed,
  second_deed,
  third_deed,
  pause,
  slower,
  begin_again,
  sound,
  speak_over,
  record,
  real_forks,
  large_text,
  theme,
  full_screen,
  keys,
  leave
};

struct LessonKeyLine {
  LessonAction action;
  const char* key;
  const char* words;
};

std::span<const LessonKeyLine> lesson_key_lines() noexcept;
std::optional<LessonAction> lesson_action_for(const std::string& key);

}  // namespace hushmill::dashboard
