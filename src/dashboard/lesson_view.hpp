// What is going on, for a class: the present verdict explained in plain sentences with its own numbers. Pure.
#pragma once


#include "dashboard/words.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

struct LessonView {
  Words title;
  Few<Words, 3> paragraphs;
};

LessonView prepare_lesson(const live::State& state, bool doubted = false);

}  // namespace hushmill::dashboard
