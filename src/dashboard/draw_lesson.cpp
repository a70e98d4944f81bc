#include <algorithm>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {

void draw_lesson(Canvas& canvas, const Rect& rect, const LessonView& view) {
  const Theme& theme = canvas.theme();
  Rect inside = draw_panel(canvas, rect, "What is going on");
  const Rect title =
      canvas.text(inside.top(canvas.px(48)), view.title,
                  {.size = 17, .weight = Weight::bold, .colour = theme.ink, .y = AlignY::top, .lines = 2});
  inside = inside.below(title.h + canvas.px(10));
  const float pitch = canvas.px(17);
  for (const Words& words : view.paragraphs) {
    const int lines = static_cast<int>(inside.h / pitch);
    if (lines < 2) return;
    const Rect used = canvas.text(inside, words, {.size = 13, .colour = theme.ink, .y = AlignY::top, .lines = lines});
    inside = inside.below(used.h + canvas.px(9));
  }
}

}  // namespace hushmill::dashboard
