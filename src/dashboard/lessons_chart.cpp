#include <algorithm>
#include <cmath>
#include <vector>

#include "dashboard/instruments.hpp"
#include "dashboard/lessons_screen.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

void draw_point(Canvas& canvas, Point at, lessons::Outcome heard) {
  const float r = canvas.px(8);
  if (heard == lessons::Outcome::open) {
    canvas.ring(at, r * 0.8F, canvas.theme().ink, canvas.px(2));
  } else {
    draw_trial_mark(canvas, at, r,
                    heard == lessons::Outcome::quiet ? advise::Outcome::held : advise::Outcome::chattered);
  }
  canvas.mark(heard == lessons::Outcome::open    ? "mark waits"
              : heard == lessons::Outcome::quiet ? "mark quiet"
                                                 : "mark chatters",
              at.x, at.y);
}

}  // namespace

void draw_lobes(Canvas& canvas, const Rect& rect, const lessons::LobesPicture& picture, float large) {
  const Theme& theme = canvas.theme();
  const float below = canvas.px(40 * large), beside = canvas.px(46 * large);
  const Rect plot{rect.x + beside, rect.y + canvas.px(8), rect.w - beside - canvas.px(28 * large),
                  rect.h - below - canvas.px(8)};
  canvas.fill(plot, theme.well, canvas.px(3));
  const Axis rpm{picture.rpm_from, picture.rpm_to}, depth{0, picture.depth_to_mm};
  const auto at = [&](const lessons::ChartPoint& point) {
    return Point{plot.x + plot.w * static_cast<float>(rpm.share(point.spindle_rpm)),
                 plot.bottom() - plot.h * static_cast<float>(depth.share(point.depth_mm))};
  };
  for (const Tick& tick : ticks(rpm, static_cast<double>(canvas.px(90 * large) / plot.w))) {
    const float x = plot.x + plot.w * static_cast<float>(tick.share);
    canvas.line({x, plot.y}, {x, plot.bottom()}, theme.line, canvas.px(1));
    canvas.text({x - canvas.px(40), plot.bottom() + canvas.px(2), canvas.px(80), canvas.px(18 * large)},
                grouped(tick.value), {.size = 13 * large, .colour = theme.dim, .x = AlignX::middle});
  }
  for (const Tick& tick : ticks(depth, static_cast<double>(canvas.px(40 * large) / plot.h))) {
    const float y = plot.bottom() - plot.h * static_cast<float>(tick.share);
    canvas.line({plot.x, y}, {plot.right(), y}, theme.line, canvas.px(1));
    const float words_y = std::min(y - canvas.px(10), plot.bottom() - canvas.px(18));  // the lowest clear of the speeds
    canvas.text({rect.x, words_y, beside - canvas.px(6), canvas.px(20)}, trimmed(tick.value, 1),
                {.size = 13 * large, .colour = theme.dim, .x = AlignX::right});
  }
  canvas.text({plot.x, rect.bottom() - canvas.px(20 * large), plot.w, canvas.px(20 * large)}, "spindle speed, rev/min",
              {.size = 13 * large, .colour = theme.dim, .x = AlignX::middle});
  canvas.text({plot.x + canvas.px(8), plot.y + canvas.px(4), plot.w - canvas.px(16), canvas.px(20 * large)},
              "depth, mm: chatter above the curve, quiet below it", {.size = 13 * large, .colour = theme.ink});
  canvas.clip(plot);
  std::vector<Point> limit;
  for (const auto& point : picture.limit) limit.push_back(at(point));
  for (std::size_t i = 0; i + 1 < limit.size(); ++i) {
    const Point a = limit[i], b = limit[i + 1];
    canvas.polygon({a, b, {b.x, plot.bottom()}, {a.x, plot.bottom()}}, theme.normal, 0.22);
  }
  if (limit.size() > 1) canvas.curve(limit, theme.ink, canvas.px(2.5F));
  for (const auto& mark : picture.marks) draw_point(canvas, at(mark), mark.heard);
  const Point here = at(picture.here);
  canvas.dashed({here.x, plot.y}, {here.x, plot.bottom()}, theme.ink, canvas.px(1), canvas.px(5));
  canvas.dashed({plot.x, here.y}, {plot.right(), here.y}, theme.ink, canvas.px(1), canvas.px(5));
  canvas.ring(here, canvas.px(11), theme.ink, canvas.px(3));
  canvas.mark("here", here.x, here.y);
  canvas.unclip();
}

void draw_knob(Canvas& canvas, const Rect& rect, const lessons::KnobPicture& picture, float large) {
  const Theme& theme = canvas.theme();
  canvas.text(rect.top(canvas.px(32 * large)), picture.cut + ", " + picture.stand,
              {.size = 24 * large, .weight = Weight::bold, .colour = theme.ink});
  // The tool out of its holder, to scale: stick-out is what the eye should see.
  const Rect tool = rect.below(canvas.px(40 * large)).top(rect.h * 0.3F);
  const float scale = tool.w * 0.72F / 100;  // pixels a millimetre
  const float thick = std::min(12 * scale, tool.h * 0.34F), y = tool.middle_y(), face = tool.x + tool.w * 0.2F;
  canvas.fill({tool.x, y - thick * 1.3F, face - tool.x, thick * 2.6F}, theme.mark, canvas.px(4));
  const float tip = face + static_cast<float>(picture.stickout_mm) * scale, flutes = 26 * scale;
  canvas.fill({face, y - thick / 2, tip - flutes - face, thick}, theme.dim);
  canvas.fill({tip - flutes, y - thick / 2, flutes, thick}, theme.line);
  for (float x = tip - flutes; x + thick * 0.5F < tip; x += thick * 0.6F)
    canvas.line({x, y + thick / 2}, {x + thick * 0.5F, y - thick / 2}, theme.ink, canvas.px(2));
  canvas.text({face, y + thick / 2 + canvas.px(4), tip - face, canvas.px(22 * large)},
              "stick-out " + grouped(picture.stickout_mm) + kThinGap + "mm",
              {.size = 15 * large, .colour = theme.ink, .x = AlignX::middle});

  Rect row = rect.below(canvas.px(40 * large) + tool.h + canvas.px(10));
  canvas.text(row.top(canvas.px(22 * large)), "Steps of the speed knob, and what the engine heard there",
              {.size = 15 * large, .colour = theme.dim});
  row = row.below(canvas.px(28 * large));
  if (picture.steps.empty()) return;
  const float width = std::min(row.w / static_cast<float>(picture.steps.size()), canvas.px(110));
  // A low row has no room for the largest text.
  const float fit = std::min(large, row.h / canvas.px(110));
  for (std::size_t i = 0; i < picture.steps.size(); ++i) {
    const auto& step = picture.steps[i];
    const Rect cell{row.x + static_cast<float>(i) * width, row.y, width - canvas.px(4), row.h - canvas.px(4)};
    const bool here = std::abs(step.percent - picture.percent) < 0.5;
    canvas.fill(cell, here ? theme.well : theme.panel, canvas.px(4));
    canvas.outline(cell, here ? theme.ink : theme.line, canvas.px(here ? 3 : 1), canvas.px(4));
    const Rect inside = cell.inset(canvas.px(2), canvas.px(6));
    canvas.text(inside.top(canvas.px(24 * fit)), grouped(step.percent) + kThinGap + "%",
                {.size = 17 * fit,
                 .weight = here ? Weight::bold : Weight::regular,
                 .colour = theme.ink,
                 .x = AlignX::middle});
    canvas.text(inside.below(canvas.px(24 * fit)).top(canvas.px(20 * fit)), "S" + grouped(step.spindle_rpm),
                {.size = 12 * fit, .colour = theme.dim, .x = AlignX::middle});
    draw_point(canvas, {cell.middle_x(), cell.y + canvas.px(72 * fit)}, step.heard);
    const char* words = step.heard == lessons::Outcome::open    ? (here ? "listening" : "")
                        : step.heard == lessons::Outcome::quiet ? "quiet"
                                                                : "chatter";
    canvas.text({inside.x, cell.y + canvas.px(84 * fit), inside.w, canvas.px(20 * fit)}, words,
                {.size = 13 * fit, .colour = theme.ink, .x = AlignX::middle});
  }
}

}  // namespace hushmill::dashboard
