#include <algorithm>
#include <cmath>

#include "dashboard/lessons_screen.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kGap = 8, kPad = 10, kTabs = 42, kEngine = 46, kStatus = 24, kCautions = 84;  // units
constexpr float kLessonRow = 56, kButton = 34, kTitle = 31;
constexpr float kNothingToTurn = 60;  // a sentence stands there
constexpr float kLargeRow = 63, kLargeButton = 40;

float row_of(const LessonsLayout& layout) { return layout.status.h > 28 * layout.unit ? kLargeRow : kLessonRow; }
float button_of(const LessonsLayout& layout) { return layout.status.h > 28 * layout.unit ? kLargeButton : kButton; }

}  // namespace

LessonsLayout lay_out_lessons(float width_px, float height_px, float scale, bool large, std::size_t control_count,
                              std::size_t deed_count, bool with_cautions) noexcept {
  LessonsLayout layout;
  const float w = std::max(1.0F, width_px), h = std::max(1.0F, height_px);
  const float fits = std::min(w / 1280, h / 720);
  // A scale for which there is no room is reduced: everything must stand on the screen.
  layout.unit = std::max(0.25F, std::min(std::max(scale, fits), fits));
  const float u = layout.unit, gap = std::round(kGap * u);
  Rect all = Rect{0, 0, w, h}.inset(gap);
  layout.tabs = all.top(kTabs * u);
  all = all.below(layout.tabs.h + gap);
  const float status = (large ? 30 : kStatus) * u;
  layout.status = {all.x, all.bottom() - status, all.w, status};
  all.h -= status + gap;

  const float right = std::round((large ? 470.0F : 400.0F) * u);
  Rect column{all.right() - right, all.y, right, all.h};
  Rect left = all.left(all.w - right - gap);
  const float tasks = std::round((large ? 236.0F : 176.0F) * u);
  layout.tasks = {left.x, left.bottom() - tasks, left.w, tasks};
  left.h -= tasks + gap;
  layout.engine = left.top(kEngine * u);
  layout.picture = left.below(layout.engine.h + gap);

  const float cautions = with_cautions ? kCautions * u : 0;
  layout.cautions = {column.x, column.bottom() - cautions, column.w, cautions};
  if (with_cautions) column.h -= cautions + gap;
  const float rows = control_count + deed_count == 0 ? kNothingToTurn
                                                     : static_cast<float>(control_count) * row_of(layout) +
                                                           static_cast<float>(deed_count) * button_of(layout);
  const float controls = std::round((kTitle + rows + 10) * u);
  layout.controls = column.top(controls);
  layout.words = column.below(controls + gap);
  return layout;
}

LessonsLayout lay_out_lessons(float width_px, float height_px, float scale, bool large,
                              const lessons::Scene& scene) noexcept {
  return lay_out_lessons(width_px, height_px, scale, large, scene.controls.size(), scene.deeds.size(), scene.advises);
}

Rect lesson_tab(const LessonsLayout& layout, std::size_t tab) {
  const float width = layout.tabs.w * 0.8F / static_cast<float>(lessons::kNames.size());
  return {layout.tabs.x + static_cast<float>(tab) * width, layout.tabs.y, width - 4 * layout.unit, layout.tabs.h};
}

Rect lesson_bar(const LessonsLayout& layout, std::size_t control, std::size_t) {
  const float u = layout.unit, row = row_of(layout) * u;
  const float y = layout.controls.y + kTitle * u + static_cast<float>(control) * row;
  return {layout.controls.x + kPad * u, y + row - 22 * u, layout.controls.w - 2 * kPad * u, 14 * u};
}

Rect lesson_button(const LessonsLayout& layout, std::size_t deed, std::size_t controls) {
  const float u = layout.unit, row = row_of(layout) * u, button = button_of(layout) * u;
  const float y =
      layout.controls.y + kTitle * u + static_cast<float>(controls) * row + 4 * u + static_cast<float>(deed) * button;
  return {layout.controls.x + kPad * u, y, layout.controls.w - 2 * kPad * u, button - 4 * u};
}

}  // namespace hushmill::dashboard
