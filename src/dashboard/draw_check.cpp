#include <algorithm>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {

void draw_check(Canvas& canvas, const Rect& window, const CheckView& view) {
  const Theme& theme = canvas.theme();
  const float width = std::min(canvas.px(620), window.w - canvas.px(16));
  const float height = std::min(canvas.px(360), window.h - canvas.px(16));
  canvas.enter("Microphone check");
  canvas.fill(window, theme.ground, 0, 0.72);
  const Rect card{window.middle_x() - width / 2, window.middle_y() - height / 2, width, height};
  Rect inside = draw_panel(canvas, card, "Microphone check", "C closes this card");
  canvas.outline(card, theme.mark, canvas.px(1), canvas.px(6));

  const Rect bar = inside.top(canvas.px(10));
  canvas.fill(bar, theme.well, canvas.px(2));
  canvas.fill(bar.left(bar.w * static_cast<float>(view.level)), theme.fill(Tone::normal), canvas.px(2));
  inside = inside.below(canvas.px(22));

  const float row = canvas.px(30);
  const float status = canvas.px(92), sign = canvas.px(22);
  for (const CheckStep& step : view.steps) {
    const Rect line = inside.top(row);
    const Point middle{line.x + canvas.px(7), line.y + row / 2};
    // A full disc is done, a thick ring is now, a thin ring is still to come.
    if (step.done) {
      canvas.disc(middle, canvas.px(6), theme.fill(Tone::normal));
    } else {
      canvas.ring(middle, canvas.px(5), step.now ? theme.ink : theme.dim, canvas.px(step.now ? 3 : 1));
    }
    canvas.text({line.x + sign, line.y, line.w - sign - status, row}, step.words,
                {.size = 14, .weight = step.now ? Weight::bold : Weight::regular, .colour = step.now || step.done ? theme.ink : theme.dim});
    canvas.text({line.right() - status, line.y, status, row}, step.status, {.size = 14, .colour = theme.ink, .x = AlignX::right});
    inside = inside.below(row);
  }
  inside = inside.below(canvas.px(8));
  if (!view.result.empty()) {
    canvas.text(inside.top(canvas.px(34)), view.result, {.size = 26, .weight = Weight::bold, .colour = theme.text(view.result_tone)});
    inside = inside.below(canvas.px(40));
  }
  for (const StripLine& line : view.lines) {
    const int lines = std::min(2, static_cast<int>(inside.h / canvas.px(19)));
    if (lines < 1) return;
    const Rect used = canvas.text(inside, line.text,
                                  {.size = 14, .colour = line.tone == Tone::neutral ? theme.ink : theme.text(line.tone), .y = AlignY::top, .lines = lines});
    inside = inside.below(used.h + canvas.px(7));
  }
}

}  // namespace hushmill::dashboard
