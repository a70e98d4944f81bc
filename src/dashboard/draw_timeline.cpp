#include <algorithm>
#include <cmath>

#include "dashboard/instruments.hpp"
#include "dashboard/numbers.hpp"
#include "dashboard/replay_desk.hpp"

namespace hushmill::dashboard {
namespace {

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

// Where the moment is, what was not heard yet, the loop, and whether it plays.
void draw_past(Canvas& canvas, const Rect& strip, const TimelineView& view, const PastView& past) {
  const Theme& theme = canvas.theme();
  const double span_s = std::max(view.to_s - view.from_s, 1e-9);
  const auto x_of = [&](double t_s) {
    return strip.x + static_cast<float>(std::clamp((t_s - view.from_s) / span_s, 0.0, 1.0)) * strip.w;
  };
  if (past.recording && past.heard_s < past.length_s) {
    const float from = x_of(past.heard_s);
    canvas.hatch({from, strip.y, strip.right() - from, strip.h}, theme.line, canvas.px(7), canvas.px(1));
  }
  if (past.loop_s) {
    const float from = x_of(past.loop_s->first), to = x_of(past.loop_s->second);
    canvas.outline({from, strip.y - canvas.px(2), std::max(canvas.px(3), to - from), strip.h + canvas.px(4)}, theme.ink, canvas.px(1.5F), canvas.px(3));
    canvas.mark("loop", from, strip.y);
  }
  const float x = x_of(past.at_s);
  canvas.line({x, strip.y - canvas.px(4)}, {x, strip.bottom() + canvas.px(4)}, theme.ink, canvas.px(2));
  // On a ground of its own beside the line, inside the strip: above it stands the title, beneath it the speeds.
  const float side = canvas.px(16), s = canvas.px(5);
  const float left = x + canvas.px(3) + side < strip.right() ? x + canvas.px(3) : x - canvas.px(3) - side;
  const Point at{left + side / 2, strip.middle_y()};
  canvas.fill({left, at.y - side / 2, side, side}, theme.panel, canvas.px(3));
  if (past.playing) {
    canvas.polygon({{at.x - s * 0.7F, at.y - s}, {at.x + s, at.y}, {at.x - s * 0.7F, at.y + s}}, theme.ink);
  } else {
    canvas.fill({at.x - s * 0.9F, at.y - s, s * 0.6F, 2 * s}, theme.ink);
    canvas.fill({at.x + s * 0.3F, at.y - s, s * 0.6F, 2 * s}, theme.ink);
  }
  canvas.mark(past.playing ? "playing" : "paused", x, strip.y);
}

}  // namespace

Rect timeline_strip(const Canvas& canvas, const Rect& rect) { return panel_inside(canvas, rect).top(canvas.px(22)); }

int timeline_columns(const Canvas& canvas, const Rect& rect) { return static_cast<int>(timeline_strip(canvas, rect).w); }

void draw_timeline(Canvas& canvas, const Rect& rect, const TimelineView& view, const std::optional<PastView>& past) {
  const Theme& theme = canvas.theme();
  if (past)
    draw_panel(canvas, rect, past->recording ? "Replay" : "Looking back", past->words);
  else
    draw_panel(canvas, rect, "Session", in_time(view.to_s - view.from_s) + " across");
  const Rect strip = timeline_strip(canvas, rect);
  canvas.fill(strip, theme.well);
  for (const TimelineRun& run : view.runs) {
    const float h = strip.h * height_of(run.verdict);
    canvas.fill(
        {strip.x + static_cast<float>(run.from_px), strip.bottom() - h, static_cast<float>(run.to_px - run.from_px), h},
        theme.edge(run.doubted ? Tone::abnormal : tone_of(run.verdict)));
  }
  for (const double share : view.returns) {
    const float x = strip.x + static_cast<float>(share) * strip.w;
    canvas.line({x, strip.y - canvas.px(3)}, {x, strip.bottom()}, theme.abnormal_edge, canvas.px(2));
    canvas.mark("came back", x, strip.y);
  }
  // As a broken axis is drawn: two slanted strokes and nothing between them. The strip counts sound, so a gap has no width of its own.
  for (const double share : view.gaps) {
    const float x = strip.x + static_cast<float>(share) * strip.w, lean = canvas.px(2), half = canvas.px(2.5F), over = canvas.px(3);
    canvas.fill({x - half, strip.y, 2 * half, strip.h}, theme.well);
    for (const float side : {x - half, x + half}) canvas.line({side - lean, strip.bottom() + over}, {side + lean, strip.y - over}, theme.ink, canvas.px(1.5F));
    canvas.mark("sound lost", x, strip.y);
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
  if (past) draw_past(canvas, strip, view, *past);
}

}  // namespace hushmill::dashboard
