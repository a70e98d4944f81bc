#include <algorithm>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {

void draw_history(Canvas& canvas, const Rect& rect, const History& history, std::uintptr_t texture, double top_hz,
                  const std::vector<double>& onsets_s) {
  const Theme& theme = canvas.theme();
  const Rect inside = draw_panel(canvas, rect, "Last 20 s", "to " + grouped(top_hz) + kThinGap + "Hz");
  const float gutter = canvas.px(42), foot = canvas.px(17);
  const Rect plot{inside.x + gutter, inside.y, inside.w - gutter, std::max(1.0F, inside.h - foot)};
  canvas.fill(plot, theme.well);
  if (history.top_hz() <= 0 || !(top_hz > 0)) return;

  // Column n mod kColumns is the newest; the ring is shown as two pieces, oldest first.
  const float v_top = static_cast<float>(std::min(1.0, top_hz / history.top_hz()));
  const int newest = static_cast<int>(history.newest() % History::kColumns);
  const float seam = static_cast<float>(newest + 1) / History::kColumns;
  const float old_w = plot.w * (1 - seam);
  canvas.picture(texture, plot.left(old_w), seam, 1, 0, v_top);
  canvas.picture(texture, plot.after(old_w), 0, seam, 0, v_top);

  for (const Tick& tick : ticks({0, top_hz, false}, static_cast<double>(canvas.px(26) / plot.h))) {
    const float y = plot.bottom() - static_cast<float>(tick.share) * plot.h;
    canvas.line({plot.x - canvas.px(4), y}, {plot.x, y}, theme.mark, canvas.px(1));
    canvas.text({inside.x, std::clamp(y - canvas.px(8), plot.y - canvas.px(4), plot.bottom() - canvas.px(10)),
                 gutter - canvas.px(7), canvas.px(16)},
                grouped(tick.value), {.size = 12, .colour = theme.dim, .x = AlignX::right});
  }
  const double from_s = history.newest_s() - History::kSpanS;
  const auto x_of = [&](double t_s) { return plot.x + static_cast<float>((t_s - from_s) / History::kSpanS) * plot.w; };
  for (int ago_s = 0; ago_s <= 20; ago_s += 5) {
    const float x = x_of(history.newest_s() - ago_s), half = canvas.px(30);
    const std::string words = ago_s == 0 ? "now" : kMinus + std::to_string(ago_s) + kThinGap + "s";
    Rect room{x - half, plot.bottom() + canvas.px(2), 2 * half, canvas.px(16)};
    AlignX align = AlignX::middle;
    if (ago_s == 0) room.x = x - 2 * half, align = AlignX::right;
    if (ago_s == 20) room.x = x, align = AlignX::left;
    canvas.text(room, words, {.size = 12, .colour = theme.dim, .x = align});
  }
  std::optional<Rect> label;
  for (auto onset = onsets_s.rbegin(); onset != onsets_s.rend(); ++onset) {  // newest first: only it is named
    if (*onset < from_s || *onset > history.newest_s()) continue;
    const float x = x_of(*onset);
    canvas.dashed({x, plot.y}, {x, plot.bottom()}, theme.danger_edge, canvas.px(1.5F), canvas.px(4));
    canvas.mark("onset", x, plot.y);
    if (label) continue;
    const float width = canvas.width_px("onset", 12, Weight::bold) + canvas.px(8);
    const bool right = x + width + canvas.px(4) < plot.right();
    label = Rect{right ? x + canvas.px(3) : x - canvas.px(3) - width, plot.y + canvas.px(3), width, canvas.px(16)};
  }
  if (!label) return;
  canvas.fill(*label, theme.well, canvas.px(3), 0.85);
  canvas.text(*label, "onset", {.size = 12, .weight = Weight::bold, .colour = theme.danger_text, .x = AlignX::middle});
}

}  // namespace hushmill::dashboard
