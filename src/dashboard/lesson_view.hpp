// What is going on, for a class: the present verdict explained in plain sentences with its own numbers. Pure.
#pragma once

#include <string>
#include <vector>

#include "live/state.hpp"

namespace hushmill::dashboard {

struct LessonView {
  std::string title;
  std::vector<std::string> paragraphs;
};

LessonView prepare_lesson(const live::State& state);

}  // namespace hushmill::dashboard
