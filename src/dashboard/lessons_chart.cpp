#include <algorithm>
#include <cmath>
#include <vector>

#include "dashboard/instruments.hpp"
#include "dashboard/lessons_screen.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kCell = 92;  // units, a step of the knob: four lines

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
  const float head = canvas.px(26 * large);  // above the plot, clear of the curve
  const Rect plot{rect.x + beside, rect.y + head, rect.w - beside - canvas.px(28 * large), rect.h - below - head};
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
  canvas.text({plot.x, rect.y, plot.w, canvas.px(22 * large)},
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
  // The tool out of its holder, to scale: stick-out is what the eye should see. Its words stand where it can never reach.
  const float head = canvas.px(40 * large), title = canvas.px(28 * large), cell_height = canvas.px(kCell * large);
  const float room = rect.h - head - title - cell_height;
  const Rect tool = rect.below(head).top(std::min(rect.h * 0.34F, room));
  const float scale = tool.w * 0.72F / 100;  // pixels a millimetre
  const float thick = std::min(12 * scale, (tool.h - canvas.px(8)) / 2.6F), y = tool.middle_y();
  const float face = tool.x + tool.w * 0.12F;
  canvas.fill({tool.x, y - thick * 1.3F, face - tool.x, thick * 2.6F}, theme.mark, canvas.px(4));
  const float tip = face + static_cast<float>(picture.stickout_mm) * scale, flutes = 26 * scale;
  canvas.fill({face, y - thick / 2, tip - flutes - face, thick}, theme.dim);
  canvas.fill({tip - flutes, y - thick / 2, flutes, thick}, theme.line);
  for (float x = tip - flutes; x + thick * 0.5F < tip; x += thick * 0.6F)
    canvas.line({x, y + thick / 2}, {x + thick * 0.5F, y - thick / 2}, theme.ink, canvas.px(2));
  canvas.text(rect.top(canvas.px(32 * large)), "stick-out " + grouped(picture.stickout_mm) + kThinGap + "mm",
              {.size = 17 * large, .colour = theme.ink, .x = AlignX::right});

  Rect row = rect.below(head + tool.h);
  canvas.text(row.top(canvas.px(22 * large)), "Steps of the speed knob, and what the engine heard there",
              {.size = 15 * large, .colour = theme.dim});
  row = row.below(title);
  if (picture.steps.empty()) return;
  const float width = std::min(row.w / static_cast<float>(picture.steps.size()), canvas.px(110));
  const float line = std::min(row.h, 1.5F * cell_height) / 4.4F;
  for (std::size_t i = 0; i < picture.steps.size(); ++i) {
    const auto& step = picture.steps[i];
    const Rect cell{row.x + static_cast<float>(i) * width, row.y, width - canvas.px(3), 4.4F * line};
    const bool here = std::abs(step.percent - picture.percent) < 0.5;
    canvas.fill(cell, here ? theme.well : theme.panel, canvas.px(4));
    canvas.outline(cell, here ? theme.ink : theme.line, canvas.px(here ? 3 : 1), canvas.px(4));
    const Rect inside = cell.inset(canvas.px(1), 0.2F * line);
    const auto at = [&](float lines) { return inside.below(lines * line).top(line); };
    canvas.text(at(0), grouped(step.percent) + kThinGap + "%",
                {.size = 17 * large,
                 .weight = here ? Weight::bold : Weight::regular,
                 .colour = theme.ink,
                 .x = AlignX::middle});
    canvas.text(at(1), "S" + grouped(step.spindle_rpm), {.size = 12 * large, .colour = theme.dim, .x = AlignX::middle});
    draw_point(canvas, {cell.middle_x(), at(2).middle_y()}, step.heard);
    const char* words = step.heard == lessons::Outcome::open    ? (here ? "listening" : "")
                        : step.heard == lessons::Outcome::quiet ? "quiet"
                                                                : "chatter";
    canvas.text(at(3), words, {.size = 13 * large, .colour = theme.ink, .x = AlignX::middle});
  }
}

}  // namespace hushmill::dashboard
