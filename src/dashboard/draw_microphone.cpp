#include <algorithm>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {

void draw_microphone(Canvas& canvas, const Rect& rect, const MicrophoneView& view) {
  const Theme& theme = canvas.theme();
  Rect inside = draw_panel(canvas, rect, view.title, view.level_text);

  const Rect bar = inside.top(canvas.px(10));
  canvas.fill(bar, theme.well, canvas.px(2));
  canvas.fill(bar.left(bar.w * static_cast<float>(view.level)), theme.fill(view.level_tone), canvas.px(2));
  const float peak_x = bar.x + bar.w * static_cast<float>(view.peak);
  canvas.line({peak_x, bar.y}, {peak_x, bar.bottom()}, theme.ink, canvas.px(2));
  inside = inside.below(canvas.px(13));
  const float row = canvas.px(17);
  for (std::size_t i = 0; i < view.lines.size(); ++i) {
    const StripLine& line = view.lines[i];
    const bool trouble = line.tone != Tone::neutral;
    const int room = std::min(trouble ? 2 : 1, static_cast<int>((inside.h + canvas.px(5)) / row));
    if (room < 1) return;
    // Troubles that find no place are at least counted.
    const bool last = inside.h + canvas.px(5) < row * static_cast<float>(room + 1);
    const auto hidden = std::count_if(view.lines.begin() + static_cast<std::ptrdiff_t>(i) + 1, view.lines.end(),
                                      [](const StripLine& other) { return other.tone != Tone::neutral; });
    const Words more = last && hidden > 0 ? "+" + std::to_string(hidden) + " more" : "";
    Rect place = inside.top(row * static_cast<float>(room));
    if (!more.empty()) {
      const float width = canvas.width_px(more, 12, Weight::bold) + canvas.px(2);
      canvas.text({place.right() - width, place.y, width, row}, more,
                  {.size = 12, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::right, .y = AlignY::top});
      place.w -= width + canvas.px(6);
    }
    const Rect used = canvas.text(
        place, line.text,
        {.size = 12, .colour = trouble ? theme.text(line.tone) : theme.dim, .y = AlignY::top, .lines = room});
    inside = inside.below(used.h + canvas.px(5));
  }
}

}  // namespace hushmill::dashboard
