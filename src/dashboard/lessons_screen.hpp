// One frame of the lessons: tabs, picture, controls, deeds, what is going on, questions, cautions. Draws a state that
// was handed over and turns what the person did into commands; needs no window, so tests run all of it.
#pragma once

#include <optional>
#include <vector>

#include "dashboard/canvas.hpp"
#include "dashboard/view_state.hpp"
#include "live/lesson_state.hpp"

namespace hushmill::dashboard {

struct LessonsView {
  bool light = false, large = false, full_screen = false, show_keys = false, leave_wanted = false;
  std::size_t control = 0;              ///< the one that Left and Right turn
  std::optional<std::size_t> dragging;  ///< the one under the mouse
};

struct LessonsLayout {
  float unit = 1;
  Rect tabs, engine, picture, tasks, controls, words, cautions, status;
};
/// Pure: window and scale in, rectangles out; `large` gives the text more room. As many controls and deeds need a
/// place; without `cautions` what is going on has theirs, too.
LessonsLayout lay_out_lessons(float width_px, float height_px, float scale, bool large, std::size_t controls = 3,
                              std::size_t deeds = 3, bool cautions = true) noexcept;
/// As the scene needs it.
LessonsLayout lay_out_lessons(float width_px, float height_px, float scale, bool large,
                              const lessons::Scene& scene) noexcept;

/// The curve of a lane: `points` values fill its width, the newest stand at its right edge, and `most` reaches its top.
/// Never outside the lane.
std::vector<Point> lane_curve(const Rect& lane, const std::vector<float>& values, std::size_t points, float most,
                              float margin_px);

/// Where a control's bar and a deed's button stand.
Rect lesson_bar(const LessonsLayout& layout, std::size_t control, std::size_t controls);
Rect lesson_button(const LessonsLayout& layout, std::size_t deed, std::size_t controls);
Rect lesson_tab(const LessonsLayout& layout, std::size_t tab);

void draw_lessons(Canvas& canvas, const LessonsLayout& layout, const live::LessonState& state, const LessonsView& view);
/// Call once a frame, before it is drawn.
void take_lessons_input(const LessonsLayout& layout, const live::LessonState& state, LessonsView& view,
                        const Input& input, std::vector<live::LessonCommand>& commands);

// The pictures, each in a file of its own. `large` is a factor for text.
void draw_forks(Canvas& canvas, const Rect& rect, const lessons::ForksPicture& picture, float large);
void draw_wavy_wall(Canvas& canvas, const Rect& rect, const lessons::WallPicture& picture, float large);
void draw_lobes(Canvas& canvas, const Rect& rect, const lessons::LobesPicture& picture, float large);
void draw_knob(Canvas& canvas, const Rect& rect, const lessons::KnobPicture& picture, float large);
void draw_corner(Canvas& canvas, const Rect& rect, const lessons::CornerPicture& picture, float large);

}  // namespace hushmill::dashboard
