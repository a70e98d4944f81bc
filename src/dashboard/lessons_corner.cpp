#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "dashboard/lessons_screen.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

/// A place on the closed path, share 0 to 1 from the first corner's forerunner; corners stand at quarters.
Point on_path(const Rect& square, double share, bool even) {
  const double side = (share - std::floor(share)) * 4;
  const int which = static_cast<int>(side) % 4;
  const auto along = static_cast<float>(side - std::floor(side));
  const std::array<Point, 5> corner{{{square.x, square.bottom()},
                                     {square.right(), square.bottom()},
                                     {square.right(), square.y},
                                     {square.x, square.y},
                                     {square.x, square.bottom()}}};
  const Point a = corner[static_cast<std::size_t>(which)], b = corner[static_cast<std::size_t>(which) + 1];
  Point at{a.x + (b.x - a.x) * along, a.y + (b.y - a.y) * along};
  if (!even) return at;
  // Rounded: pulled towards the middle of an arc near the corners.
  const float r = square.w * 0.2F;
  const Point centre{std::clamp(at.x, square.x + r, square.right() - r),
                     std::clamp(at.y, square.y + r, square.bottom() - r)};
  const float dx = at.x - centre.x, dy = at.y - centre.y, away = std::hypot(dx, dy);
  if (away > r && std::abs(dx) > 1 && std::abs(dy) > 1) at = {centre.x + dx * r / away, centre.y + dy * r / away};
  return at;
}

std::vector<Point> stretch(const Rect& square, double from, double to, bool even) {
  std::vector<Point> points;
  const int steps = std::max(2, static_cast<int>((to - from) * 400));
  for (int i = 0; i <= steps; ++i) points.push_back(on_path(square, from + (to - from) * i / steps, even));
  return points;
}

}  // namespace

void draw_corner(Canvas& canvas, const Rect& rect, const lessons::CornerPicture& picture, float large) {
  const Theme& theme = canvas.theme();
  const float head = canvas.px(26 * large);
  canvas.text(rect.top(head), picture.even ? "Constant engagement" : "Sharp inside corners",
              {.size = 20 * large, .weight = Weight::bold, .colour = theme.ink});
  const Rect body = rect.below(head + canvas.px(4));
  const float side = std::min(body.h * 0.92F, body.w * 0.4F);
  const Rect outer{body.x + canvas.px(4), body.y + (body.h - side) / 2, side, side};
  canvas.fill(outer, theme.well, picture.even ? side * 0.2F : canvas.px(2));
  const float tool = side * 0.11F;
  const Rect path = outer.inset(tool + canvas.px(3));
  canvas.curve(stretch(path, 0, 1, picture.even), theme.mark, canvas.px(3));
  for (const auto& spot : picture.chatter) {
    canvas.curve(stretch(path, spot.from_share, std::max(spot.to_share, spot.from_share + 0.01), picture.even),
                 theme.danger, canvas.px(8), 0.7);
    const Point at = on_path(path, spot.from_share, picture.even);
    canvas.mark("chatter on the path", at.x, at.y);
  }
  const Point now = on_path(path, picture.lap_share, picture.even);
  canvas.ring(now, tool, theme.ink, canvas.px(3));
  canvas.disc(now, canvas.px(4), theme.ink);
  canvas.mark("tool", now.x, now.y);

  const Rect right{outer.right() + canvas.px(22), body.y, body.right() - outer.right() - canvas.px(26), body.h};
  const float line = canvas.px(20 * large);
  canvas.text(right.top(line), "Engaged arc along one lap, degrees; now " + grouped(picture.arc_now_deg),
              {.size = 14 * large, .colour = theme.ink});
  const float laps = canvas.px(2 * 22 * large);
  const float beside = canvas.px(36 * large);
  // The topmost number stands half over the plot's edge.
  const float under_caption = canvas.px(10 * large);
  const Rect plot{right.x + beside, right.y + line + under_caption, right.w - beside,
                  right.h - 2 * line - laps - under_caption - canvas.px(12)};
  canvas.fill(plot, theme.well, canvas.px(3));
  const Axis arc{0, 180};
  for (const double degrees : {0.0, 90.0, 180.0}) {
    const float y = plot.bottom() - plot.h * static_cast<float>(arc.share(degrees));
    canvas.line({plot.x, y}, {plot.right(), y}, theme.line, canvas.px(1));
    canvas.text({right.x, y - canvas.px(10), beside - canvas.px(5), canvas.px(20)}, grouped(degrees),
                {.size = 12 * large, .colour = theme.dim, .x = AlignX::right});
  }
  canvas.clip(plot);
  for (const auto& spot : picture.chatter)
    for (const float lap : {0.0F, -1.0F}) {  // a chatter across the end of the lap stands at both ends
      const float from = plot.x + plot.w * (static_cast<float>(spot.from_share) + lap),
                  to = plot.x + plot.w * (static_cast<float>(spot.to_share) + lap);
      canvas.fill({from, plot.y, std::max(canvas.px(3), to - from), plot.h}, theme.danger, 0, 0.35);
    }
  std::vector<Point> curve;
  for (std::size_t i = 0; i < picture.arc_deg.size(); ++i)
    curve.push_back({plot.x + plot.w * static_cast<float>(i) / static_cast<float>(picture.arc_deg.size() - 1),
                     plot.bottom() - plot.h * static_cast<float>(arc.share(static_cast<double>(picture.arc_deg[i])))});
  if (curve.size() > 1) canvas.curve(curve, theme.ink, canvas.px(3));
  const float x = plot.x + plot.w * static_cast<float>(picture.lap_share);
  canvas.line({x, plot.y}, {x, plot.bottom()}, theme.ink, canvas.px(2));
  canvas.unclip();
  canvas.text({plot.x, plot.bottom() + canvas.px(2), plot.w, line}, "one lap; red: where the engine heard chatter",
              {.size = 12 * large, .colour = theme.dim, .x = AlignX::middle});
  std::string words = picture.per_lap.empty() ? "The first lap is on its way." : "";
  for (std::size_t i = picture.per_lap.size() > 6 ? picture.per_lap.size() - 6 : 0; i < picture.per_lap.size(); ++i)
    words += (words.empty() ? "Lap " : ", lap ") + std::to_string(i + 1) + ": " +
             (picture.per_lap[i] == 0
                  ? "quiet"
                  : std::to_string(picture.per_lap[i]) + (picture.per_lap[i] == 1 ? " chatter" : " chatters"));
  canvas.text({right.x, right.bottom() - laps, right.w, laps}, words,
              {.size = 17 * large, .weight = Weight::bold, .colour = theme.ink, .lines = 2});
}

}  // namespace hushmill::dashboard
