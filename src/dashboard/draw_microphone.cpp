#include <algorithm>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {

void draw_microphone(Canvas& canvas, const Rect& rect, const MicrophoneView& view) {
  const Theme& theme = canvas.theme();
  Rect inside = draw_panel(canvas, rect, view.title.c_str(), view.level_text);

  const Rect bar = inside.top(canvas.px(10));
  canvas.fill(bar, theme.well, canvas.px(2));
  canvas.fill(bar.left(bar.w * static_cast<float>(view.level)), theme.fill(view.level_tone), canvas.px(2));
  const float peak_x = bar.x + bar.w * static_cast<float>(view.peak);
  canvas.line({peak_x, bar.y}, {peak_x, bar.bottom()}, theme.ink, canvas.px(2));
  inside = inside.below(canvas.px(13));
  const float row = canvas.px(17);
  const auto add = [&](const std::string& words, Rgb colour, int most_lines) {
    const int room = std::min(most_lines, static_cast<int>((inside.h + canvas.px(3)) / row));
    if (room < 1) return;
    const Rect used = canvas.text(inside.top(row * static_cast<float>(room)), words,
                                  {.size = 12, .colour = colour, .y = AlignY::top, .lines = room});
    inside = inside.below(used.h + canvas.px(5));
  };

  for (const StripLine& line : view.lines) {
    add(line.text, line.tone == Tone::neutral ? theme.dim : theme.text(line.tone), line.tone == Tone::neutral ? 1 : 2);
  }
}

}  // namespace hushmill::dashboard
