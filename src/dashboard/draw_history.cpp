#include <algorithm>
#include <array>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {

namespace {

constexpr float kGutter = 42, kFoot = 17;  // units
constexpr int kLogarithmicStrips = 48;     // the texture is linear: a logarithmic scale is shown in so many pieces

/// One strip of the ring of columns, between two heights of the texture. Column n mod kColumns is the newest; the ring is
/// shown as two pieces, oldest first.
void draw_strip(Canvas& canvas, const History& history, std::uintptr_t texture, const Rect& strip, float v_low,
                float v_high) {
  const int newest = static_cast<int>(history.newest() % History::kColumns);
  const float seam = static_cast<float>(newest + 1) / History::kColumns;
  const float old_w = strip.w * (1 - seam);
  canvas.picture(texture, strip.left(old_w), seam, 1, v_low, v_high);
  canvas.picture(texture, strip.after(old_w), 0, seam, v_low, v_high);
}

void draw_picture(Canvas& canvas, const History& history, std::uintptr_t texture, const Rect& plot, const Axis& hz) {
  const auto v_of = [&](double at_hz) { return static_cast<float>(std::clamp(at_hz / history.top_hz(), 0.0, 1.0)); };
  // Above what is kept the ground stays as it is.
  const double top_share = std::clamp(hz.share(history.top_hz()), 0.0, 1.0);
  const int strips = hz.logarithmic ? kLogarithmicStrips : 1;
  for (int i = 0; i < strips; ++i) {
    const double from = top_share * i / strips, to = top_share * (i + 1) / strips;
    const Rect strip{plot.x, plot.bottom() - static_cast<float>(to) * plot.h, plot.w,
                     static_cast<float>(to - from) * plot.h};
    draw_strip(canvas, history, texture, strip, v_of(hz.value(from)), v_of(hz.value(to)));
  }
}

}  // namespace

Rect history_plot(const Canvas& canvas, const Rect& rect) {
  const Rect inside = panel_inside(canvas, rect);
  return {inside.x + canvas.px(kGutter), inside.y, std::max(1.0F, inside.w - canvas.px(kGutter)),
          std::max(1.0F, inside.h - canvas.px(kFoot))};
}

void draw_history(Canvas& canvas, const Rect& rect, const History& history, std::uintptr_t texture, const Axis& hz,
                  std::span<const double> onsets_s, const std::optional<Cursor>& cursor, bool past) {
  const Theme& theme = canvas.theme();
  const bool reads = cursor && cursor->t_s;
  const Words range = (hz.from > 0 ? grouped(hz.from) + " to " : Words("to ")) + grouped(hz.to) + kThinGap + "Hz";
  const Rect inside = draw_panel(canvas, rect, "Last 20 s", reads ? Words() : range);
  if (reads) {
    const Rect head = rect.inset(canvas.px(10), canvas.px(7)).top(canvas.px(18)).after(canvas.px(84));
    canvas.number(head, cursor->readings, {.size = 12, .colour = theme.ink, .x = AlignX::right});
  }
  const float gutter = canvas.px(kGutter);
  const Rect plot = history_plot(canvas, rect);
  canvas.fill(plot, theme.well);
  if (history.top_hz() <= 0 || !(hz.to > hz.from)) return;
  draw_picture(canvas, history, texture, plot, hz);

  for (const Tick& tick : ticks(hz, static_cast<double>(canvas.px(26) / plot.h))) {
    const float y = plot.bottom() - static_cast<float>(tick.share) * plot.h;
    canvas.line({plot.x - canvas.px(4), y}, {plot.x, y}, theme.mark, canvas.px(1));
    // In a narrow gutter 10 000 Hz is written 10 k.
    const std::array<Words, 2> spellings{grouped(tick.value), grouped(tick.value / 1000, 1) + "k"};
    canvas.number({inside.x, std::clamp(y - canvas.px(8), plot.y - canvas.px(4), plot.bottom() - canvas.px(10)),
                   gutter - canvas.px(7), canvas.px(16)},
                  spellings, {.size = 12, .colour = theme.dim, .x = AlignX::right});
  }
  const double from_s = history.newest_s() - History::kSpanS;
  const auto x_of = [&](double t_s) { return plot.x + static_cast<float>((t_s - from_s) / History::kSpanS) * plot.w; };
  for (int ago_s = 0; ago_s <= 20; ago_s += 5) {
    const float x = x_of(history.newest_s() - ago_s), half = canvas.px(30);
    const Words words = ago_s == 0 ? (past ? "then" : "now") : kMinus + std::to_string(ago_s) + kThinGap + "s";
    Rect room{x - half, plot.bottom() + canvas.px(2), 2 * half, canvas.px(16)};
    AlignX align = AlignX::middle;
    if (ago_s == 0) room.x = x - 2 * half, align = AlignX::right;
    if (ago_s == 20) room.x = x, align = AlignX::left;
    canvas.text(room, words, {.size = 12, .colour = theme.dim, .x = align});
  }
  if (cursor && hz.holds(cursor->hz)) {
    const float y = plot.bottom() - static_cast<float>(hz.share(cursor->hz)) * plot.h;
    canvas.line({plot.x, y}, {plot.right(), y}, theme.ink, canvas.px(1), 0.7);
    if (cursor->t_s) {
      const float x = x_of(*cursor->t_s);
      canvas.line({x, plot.y}, {x, plot.bottom()}, theme.ink, canvas.px(1), 0.7);
    }
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
