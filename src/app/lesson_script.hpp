// What is turned and done in a lesson at set times: for recordings without a person, for pictures and tests.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "lessons/lesson.hpp"

namespace hushmill::app {

struct LessonStep {
  double at_s = 0;
  std::size_t which = 0;              ///< control or deed, from 0
  std::optional<double> value = {};   ///< none: a deed
};

/// From options as "2:1:440" (at 2 s, the first control to 440) and "2.5:1" (the first deed), in any order; sorted by time. Throws
/// UsageError naming the option.
std::vector<LessonStep> lesson_script(const std::vector<std::string>& turns, const std::vector<std::string>& deeds);

/// Goes through the steps once, without sound, on a lesson that is not used afterwards: refuses controls and deeds that it does not have
/// at that point and values out of the range that the control has by then. Throws UsageError.
void check_script(const std::vector<LessonStep>& script, lessons::Lesson& rehearsal);

}  // namespace hushmill::app
