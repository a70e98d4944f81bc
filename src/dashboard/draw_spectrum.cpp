#include <algorithm>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

using listen::PeakRole;

/// Shape first, colour second: a bar for teeth, a short bar for rotation, a triangle for chatter, a square for the
/// room, a circle for what does not belong.
void draw_mark(Canvas& canvas, Point at, PeakRole role, Tone chatter) {
  const Theme& theme = canvas.theme();
  const float r = canvas.px(4.5F), stroke = canvas.px(1.5F);
  switch (role) {
    case PeakRole::tooth:
      canvas.line({at.x, at.y - r}, {at.x, at.y + r}, theme.teeth, stroke);
      break;
    case PeakRole::rotation:
      canvas.line({at.x, at.y - r * 0.2F}, {at.x, at.y + r * 0.9F}, theme.mark, stroke);
      break;
    case PeakRole::chatter:
      canvas.polygon({{at.x, at.y - r}, {at.x + r, at.y + r}, {at.x - r, at.y + r}}, theme.fill(chatter));
      canvas.polygon_outline({{at.x, at.y - r}, {at.x + r, at.y + r}, {at.x - r, at.y + r}}, theme.edge(chatter),
                             canvas.px(1));
      break;
    case PeakRole::room:
      canvas.outline({at.x - r * 0.8F, at.y - r * 0.8F, r * 1.6F, r * 1.6F}, theme.room, stroke);
      break;
    case PeakRole::foreign:
      canvas.ring(at, r * 0.9F, theme.ink, stroke);
      break;
    case PeakRole::unexplained:
      break;
  }
}

void draw_legend(Canvas& canvas, Rect row, Tone chatter) {
  const Theme& theme = canvas.theme();
  float x = row.x;
  for (const auto& [role, words] : {std::pair{PeakRole::tooth, "teeth"}, std::pair{PeakRole::chatter, "chatter"},
                                    std::pair{PeakRole::rotation, "runout"}, std::pair{PeakRole::room, "room"},
                                    std::pair{PeakRole::foreign, "foreign"}}) {
    const float width = canvas.width_px(words, 12, Weight::regular);
    if (x + canvas.px(16) + width > row.right()) break;
    draw_mark(canvas, {x + canvas.px(5), row.middle_y()}, role, chatter);
    const Rect used =
        canvas.text({x + canvas.px(13), row.y, width + canvas.px(2), row.h}, words, {.size = 12, .colour = theme.dim});
    x = used.right() + canvas.px(12);
  }
}

}  // namespace

Rect spectrum_plot(const Canvas& canvas, const Rect& rect) {
  const Rect inside = panel_inside(canvas, rect);
  const float gutter = canvas.px(40), foot = canvas.px(50);
  return {inside.x + gutter, inside.y + canvas.px(2), std::max(1.0F, inside.w - gutter),
          std::max(1.0F, inside.h - foot - canvas.px(2))};
}

void draw_spectrum(Canvas& canvas, const Rect& rect, const SpectrumView& view,
                   const std::optional<Cursor>& cursor, bool held) {
  const Theme& theme = canvas.theme();
  const Words range = grouped(view.hz.from) + " to " + grouped(view.hz.to) + kThinGap + "Hz";
  draw_panel(canvas, rect, "Spectrum", (held ? "frozen" : "dB full scale") + Words(kDot) + range);
  const Rect inside = panel_inside(canvas, rect), plot = spectrum_plot(canvas, rect);
  canvas.fill(plot, theme.well);
  const auto x_of = [&](double hz) { return plot.x + static_cast<float>(view.hz.share(hz)) * plot.w; };
  const auto y_of = [&](double db) {
    return plot.bottom() - static_cast<float>(std::clamp(view.dbfs.share(db), 0.0, 1.0)) * plot.h;
  };

  for (const Tick& tick : ticks(view.dbfs, static_cast<double>(canvas.px(30) / plot.h))) {
    const float y = y_of(tick.value);
    canvas.line({plot.x, y}, {plot.right(), y}, theme.line, canvas.px(1));
    canvas.text({inside.x, std::clamp(y - canvas.px(8), inside.y - canvas.px(2), plot.bottom() - canvas.px(12)),
                 canvas.px(36), canvas.px(16)},
                grouped(tick.value), {.size = 12, .colour = theme.dim, .x = AlignX::right});
  }
  float last_label = -1e9F;
  for (const Tick& tick : ticks(view.hz, static_cast<double>(canvas.px(58) / plot.w))) {
    const float x = x_of(tick.value);
    canvas.line({x, plot.y}, {x, plot.bottom()}, theme.line, canvas.px(1), 0.6);
    const float width = canvas.width_px(grouped(tick.value), 12, Weight::regular) + canvas.px(2);
    const float left = std::clamp(x - width / 2, plot.x, plot.right() - width);
    if (left < last_label + canvas.px(6)) continue;
    canvas.text({left, plot.bottom() + canvas.px(17), width, canvas.px(16)}, grouped(tick.value),
                {.size = 12, .colour = theme.dim, .x = AlignX::middle});
    last_label = left + width;
  }

  canvas.clip(plot);
  const auto draw_curve = [&](const std::vector<float>& levels, Rgb colour, float width, double opacity) {
    Few<Point, 4096> points;  // no screen has a plot so wide
    for (std::size_t i = 0; i < levels.size(); ++i) {
      points.push_back({plot.x + (static_cast<float>(i) + 0.5F) * plot.w / static_cast<float>(levels.size()),
                   y_of(static_cast<double>(levels[i]))});
    }
    canvas.curve(points, colour, width, opacity);
  };
  draw_curve(view.room_dbfs, theme.room, canvas.px(1), 0.7);
  draw_curve(view.curve_dbfs, theme.ink, canvas.px(1.2F), 1);
  canvas.unclip();

  const float row_y = plot.bottom() + canvas.px(9);
  float last_tooth = -1e9F;
  for (const SpectrumMark& mark : view.marks) {
    const float x = x_of(mark.hz);
    if (mark.role == PeakRole::tooth) {
      if (x - last_tooth < canvas.px(3)) continue;  // a comb too fine to see is a grey smear
      last_tooth = x;
    }
    draw_mark(canvas, {x, row_y}, mark.role, view.chatter_tone);
    if (mark.role == PeakRole::chatter) canvas.mark("chatter line", x, row_y);
    if (mark.role == PeakRole::tooth) canvas.mark("tooth line", x, row_y);
    if (!mark.strongest) continue;
    const Words words = in_hz(mark.hz);
    const float width = canvas.width_px(words, 15, Weight::bold) + canvas.px(4);
    const bool right = x + canvas.px(8) + width < plot.right();
    const float y = std::clamp(y_of(mark.dbfs) - canvas.px(2), plot.y + canvas.px(2), plot.bottom() - canvas.px(22));
    const Rect room{right ? x + canvas.px(8) : x - canvas.px(8) - width, y, width, canvas.px(18)};
    canvas.fill(room.inset(-canvas.px(2), 0), theme.well, canvas.px(3), 0.85);
    canvas.text(room, words,
                {.size = 15, .weight = Weight::bold, .colour = theme.text(view.chatter_tone), .x = AlignX::middle});
  }
  const Rect legend{plot.x, inside.bottom() - canvas.px(15), plot.w, canvas.px(16)};
  if (cursor && view.hz.holds(cursor->hz)) {
    const float x = x_of(cursor->hz);
    canvas.line({x, plot.y}, {x, plot.bottom()}, theme.ink, canvas.px(1), 0.7);
    canvas.number(legend, cursor->readings, {.size = 12, .colour = theme.ink});
  } else {
    draw_legend(canvas, legend, view.chatter_tone);
  }
}

}  // namespace hushmill::dashboard
