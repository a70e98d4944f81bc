// The lessons in a window: opens it and shows a running lesson until the person leaves. [main thread]
//
// Throws as the dashboard does: NoDisplay, FontMissing, std::runtime_error when a screenshot cannot be written.
#pragma once

#include <functional>

#include "dashboard/dashboard.hpp"
#include "live/lesson_state.hpp"

namespace hushmill::dashboard {

/// How the screen reaches the running lesson, as with the instrument.
struct LessonsDoor {
  std::function<bool(live::LessonState&)> poll;
  std::function<bool(const live::LessonCommand&)> send;
};

struct LessonsSettings {
  DashboardSettings window;  ///< its look is not used
  bool large_text = false;
};

/// Returns 0 when the person left or the time was over.
int run_lessons(const LessonsSettings& settings, const LessonsDoor& door);

}  // namespace hushmill::dashboard
