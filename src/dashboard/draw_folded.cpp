#include <algorithm>
#include <array>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {

void draw_folded(Canvas& canvas, const Rect& rect, const FoldedView& view) {
  const Theme& theme = canvas.theme();
  const Words spacing = view.rows > 0 ? "spacing " + grouped(view.tooth_passing_hz, 1) + kThinGap + "Hz" : "";
  const Rect inside = draw_panel(canvas, rect, "Folded view", spacing);
  if (view.rows < 1) {
    canvas.text(inside, view.trouble, {.size = 15, .colour = theme.dim, .x = AlignX::middle, .lines = 3});
    return;
  }
  const float gutter = canvas.px(26), head = canvas.px(13), foot = canvas.px(36);
  const Rect plot{inside.x + gutter, inside.y + head, inside.w - gutter, std::max(1.0F, inside.h - head - foot)};
  canvas.fill(plot, theme.well);
  const float row_h = plot.h / static_cast<float>(view.rows), column_w = plot.w / static_cast<float>(view.columns);
  for (int row = 0; row < view.rows; ++row) {
    const float y = plot.bottom() - static_cast<float>(row + 1) * row_h;
    for (int column = 0; column < view.columns; ++column) {
      const float level = view.at(row, column);
      if (level < 0.02F) continue;  // the well shows through
      canvas.fill(
          {plot.x + static_cast<float>(column) * column_w, y + canvas.px(0.5F), column_w + 0.5F, row_h - canvas.px(1)},
          theme.heat(0.12 + 0.88 * static_cast<double>(level)));
    }
  }
  // Numbers up the side, as many as have room.
  const int every = std::max(1, static_cast<int>(std::ceil(canvas.px(15) / row_h)));
  for (int row = 0; row < view.rows; row += every) {
    const float y = plot.bottom() - (static_cast<float>(row) + 0.5F) * row_h;
    canvas.text({inside.x, y - canvas.px(8), gutter - canvas.px(6), canvas.px(16)}, std::to_string(row + 1),
                {.size = 12, .colour = theme.dim, .x = AlignX::right});
  }
  const auto x_of = [&](double fraction) { return plot.x + static_cast<float>(fraction + 0.5) * plot.w; };
  for (const FoldedMark& mark : view.marks) {
    const float x = x_of(mark.fraction), r = canvas.px(5.5F);
    const Point left{x - r, plot.y - canvas.px(11)}, right{x + r, plot.y - canvas.px(11)},
        tip{x, plot.y - canvas.px(1)};
    if (mark.mirror) {
      canvas.polygon_outline({left, right, tip}, theme.edge(view.marks_tone), canvas.px(1.5F));
    } else {
      canvas.polygon({left, right, tip}, theme.fill(view.marks_tone));
      canvas.polygon_outline({left, right, tip}, theme.edge(view.marks_tone), canvas.px(1));
    }
    canvas.mark(mark.mirror ? "mirror" : "chatter fraction", x, plot.y);
  }
  canvas.mark("teeth column", x_of(0), plot.y);
  canvas.mark("left edge", plot.x, plot.bottom());
  canvas.mark("right edge", plot.right(), plot.bottom());
  static const std::array<std::pair<double, const char*>, 5> kPlaces{{{-0.5, "\xE2\x88\x92\xC2\xBD"},
                                                                      {-0.25, "\xE2\x88\x92\xC2\xBC"},
                                                                      {0.0, "teeth"},
                                                                      {0.25, "+\xC2\xBC"},
                                                                      {0.5, "+\xC2\xBD"}}};
  for (const auto& [fraction, words] : kPlaces) {
    const float x = x_of(fraction), half = canvas.px(28);
    Rect room{x - half, plot.bottom() + canvas.px(2), 2 * half, canvas.px(16)};
    AlignX align = AlignX::middle;
    if (fraction > 0.4) {
      room.x = x - 2 * half;
      align = AlignX::right;
    } else if (fraction < -0.4) {
      room.x = x;
      align = AlignX::left;
    }
    canvas.line({x, plot.bottom()}, {x, plot.bottom() + canvas.px(3)}, theme.mark, canvas.px(1));
    canvas.text(room, words, {.size = 12, .colour = theme.dim, .x = align});
  }
  canvas.text({plot.x, inside.bottom() - canvas.px(15), plot.w, canvas.px(16)}, "off to the side = not in step",
              {.size = 12, .colour = theme.dim, .x = AlignX::middle});
}

}  // namespace hushmill::dashboard
