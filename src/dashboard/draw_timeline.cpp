#include <algorithm>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

Rect strip_of(const Canvas& canvas, const Rect& rect) { return panel_inside(canvas, rect).top(canvas.px(22)); }

/// The verdict as height, too: a thin line for no cut, a low bar for steady, a full one for chatter.
float height_of(listen::Verdict verdict) {
  switch (verdict) {
    case listen::Verdict::no_cut:
      return 0.16F;
    case listen::Verdict::steady:
      return 0.45F;
    case listen::Verdict::forced_vibration:
      return 0.62F;
    case listen::Verdict::building:
      return 0.8F;
    case listen::Verdict::chatter:
      break;
  }
  return 1;
}

}  // namespace

int timeline_columns(const Canvas& canvas, const Rect& rect) { return static_cast<int>(strip_of(canvas, rect).w); }

void draw_timeline(Canvas& canvas, const Rect& rect, const TimelineView& view) {
  const Theme& theme = canvas.theme();
  draw_panel(canvas, rect, "Session", in_time(view.to_s - view.from_s) + " across");
  const Rect strip = strip_of(canvas, rect);
  canvas.fill(strip, theme.well);
  for (const TimelineRun& run : view.runs) {
    const float h = strip.h * height_of(run.verdict);
    canvas.fill(
        {strip.x + static_cast<float>(run.from_px), strip.bottom() - h, static_cast<float>(run.to_px - run.from_px), h},
        theme.edge(tone_of(run.verdict)));
  }
  for (const double share : view.returns) {
    const float x = strip.x + static_cast<float>(share) * strip.w;
    canvas.line({x, strip.y - canvas.px(3)}, {x, strip.bottom()}, theme.abnormal_edge, canvas.px(2));
    canvas.mark("came back", x, strip.y);
  }
  const Rect row{strip.x, strip.bottom() + canvas.px(4), strip.w, canvas.px(16)};
  float last_right = row.x - canvas.px(8);
  for (const TimelineSpeed& speed : view.speeds) {
    const float from = row.x + static_cast<float>(speed.from) * row.w;
    canvas.line({from, strip.y}, {from, row.bottom()}, theme.mark, canvas.px(1));
    const float width = canvas.width_px(speed.label, 12, Weight::regular) + canvas.px(2);
    const float left = std::min(from + canvas.px(4), row.right() - width);
    const bool last = &speed == &view.speeds.back();
    const float to = row.x + static_cast<float>(speed.to) * row.w;
    if (left < last_right + canvas.px(8) || (!last && to - from < width)) continue;
    canvas.text({left, row.y, width, row.h}, speed.label, {.size = 12, .colour = theme.dim});
    last_right = left + width;
  }
}

}  // namespace hushmill::dashboard
