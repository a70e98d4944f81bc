#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "dashboard/lessons_screen.hpp"
#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr double kReaches[] = {120, 240, 480, 960};  // of the picture's height, µm

/// The hand of a clock: where this wave stands against the last one.
void draw_phase(Canvas& canvas, const Rect& rect, const lessons::WallPicture& picture, float large) {
  const Theme& theme = canvas.theme();
  const float r = std::min(rect.h, rect.w) / 2 - canvas.px(4);
  const Point centre{rect.x + r + canvas.px(4), rect.middle_y()};
  canvas.ring(centre, r, theme.mark, canvas.px(2));
  const auto turn = static_cast<float>(picture.phase_deg * std::numbers::pi / 180);
  const Point tip{centre.x + r * 0.86F * std::sin(turn), centre.y - r * 0.86F * std::cos(turn)};
  canvas.line({centre.x, centre.y - r}, {centre.x, centre.y - r * 0.8F}, theme.ink, canvas.px(2));
  canvas.line(centre, tip, picture.measured ? theme.ink : theme.mark, canvas.px(picture.measured ? 4.0F : 2.0F));
  canvas.mark("phase", tip.x, tip.y);
  const double whole = std::floor(picture.waves_per_tooth);
  const std::string count = grouped(picture.waves_per_tooth, 2) + " waves from tooth to tooth: " + grouped(whole) +
                            " whole and " + grouped(picture.phase_deg, 0) + "\xC2\xB0 more";
  canvas.text({centre.x + r + canvas.px(14), rect.y, rect.right() - centre.x - r - canvas.px(14), rect.h},
              picture.measured ? count : "The tool's own note: " + count,
              {.size = 17 * large, .weight = Weight::bold, .colour = theme.ink, .lines = 3});
}

/// The scale changes with the swing, so it stands in the picture: a bar of so many micrometres.
void draw_scale(Canvas& canvas, const Rect& plot, double reach_um, float large) {
  const Theme& theme = canvas.theme();
  const double um = reach_um * 5 / 12;  // 50, 100, 200, 400
  const float x = plot.right() - canvas.px(12), top = plot.middle_y() - plot.h * 5 / 24, foot = top + plot.h * 5 / 12;
  canvas.line({x, top}, {x, foot}, theme.ink, canvas.px(3));
  for (const float y : {top, foot}) canvas.line({x - canvas.px(7), y}, {x + canvas.px(5), y}, theme.ink, canvas.px(2));
  canvas.mark("scale top", x, top);
  canvas.mark("scale foot", x, foot);
  const std::string words = grouped(um) + kThinGap + "\xC2\xB5m";
  const float line = canvas.px(26 * large), width = canvas.width_px(words, 17 * large, Weight::bold) + canvas.px(14);
  const Rect plate{x - canvas.px(12) - width, (top + foot - line) / 2, width, line};
  canvas.fill(plate, theme.well, canvas.px(3), 0.75);
  canvas.text(plate, words, {.size = 17 * large, .weight = Weight::bold, .colour = theme.ink, .x = AlignX::middle});
}

}  // namespace

void draw_wavy_wall(Canvas& canvas, const Rect& rect, const lessons::WallPicture& picture, float large) {
  const Theme& theme = canvas.theme();
  const float foot = std::round(std::min(rect.h * 0.3F, canvas.px(92 * large)));
  const Rect plot{rect.x, rect.y, rect.w, rect.h - foot - canvas.px(8)};
  canvas.fill(plot, theme.well, canvas.px(4));
  const std::size_t points = picture.left_um.size();
  if (points < 2) return;
  float least = 1e9F, most = -1e9F;
  for (const auto* curve : {&picture.left_um, &picture.path_um})
    for (const float value : *curve) {
      least = std::min(least, value);
      most = std::max(most, value);
    }
  double reach = kReaches[3];
  for (const double one : {kReaches[2], kReaches[1], kReaches[0]})
    if (static_cast<double>(most - least) < 0.8 * one) reach = one;
  const double middle = static_cast<double>(most + least) / 2;
  const auto x = [&](std::size_t i) {
    return plot.x + plot.w * static_cast<float>(i) / static_cast<float>(points - 1);
  };
  const auto y = [&](float um) {
    return plot.middle_y() - plot.h * static_cast<float>((static_cast<double>(um) - middle) / reach);
  };
  const bool in_cut = picture.wave != lessons::Wave::no_cut;
  canvas.clip(plot);
  std::vector<Point> left, path;
  for (std::size_t i = 0; i < points; ++i) left.push_back({x(i), y(picture.left_um[i])});
  for (std::size_t i = 0; i < picture.path_um.size(); ++i) path.push_back({x(i), y(picture.path_um[i])});
  // Not see-through: strips that overlap would show.
  const Rgb wall = mix(theme.well, theme.mark, 0.35), chip_colour = mix(theme.well, theme.abnormal, 0.6);
  // What is left of the wall below the path, what lies ahead of the tooth, and the chip between.
  for (std::size_t i = 0; i + 1 < points; ++i) {
    const bool cut = in_cut && i + 1 < path.size();
    const Point a = cut ? path[i] : left[i], b = cut ? path[i + 1] : left[i + 1];
    const float width = b.x - a.x + 0.6F;
    const float top = (a.y + b.y) / 2;
    canvas.fill({a.x, top, width, plot.bottom() - top}, wall);
    if (!cut) continue;
    const float chip_top = (left[i].y + left[i + 1].y) / 2;
    if (chip_top < top) canvas.fill({a.x, chip_top, width, top - chip_top}, chip_colour);
  }
  canvas.curve(left, theme.dim, canvas.px(2));
  if (in_cut && path.size() > 1) canvas.curve(path, theme.ink, canvas.px(3));
  if (!path.empty()) {
    Point tip = path.back();
    if (!in_cut) tip.y = left[path.size() - 1].y - canvas.px(22);  // held clear of the wall
    const float size = canvas.px(26);
    canvas.polygon({{tip.x, tip.y}, {tip.x - size * 0.3F, tip.y - size}, {tip.x + size * 0.7F, tip.y - size}},
                   theme.ink);
    canvas.mark("tooth", tip.x, tip.y);
  }
  canvas.unclip();
  const float line = canvas.px(18 * large);
  canvas.text(plot.inset(canvas.px(8), canvas.px(4)).top(line),
              in_cut
                  ? "The wall, drawn straight: grey is left, amber is the chip, thin line: what the tooth before left"
                  : "The wall as it was left, drawn straight",
              {.size = 13 * large, .colour = theme.ink});
  draw_scale(canvas, plot, reach, large);
  const Rect below{rect.x, plot.bottom() + canvas.px(8), rect.w, foot};
  draw_phase(canvas, below.left(below.w * 0.5F), picture, large);
  const Rect chip = below.after(below.w * 0.54F);
  const bool even = picture.thickest_um - picture.thinnest_um < 0.5;
  const std::string micrometres = std::string(kThinGap) + "\xC2\xB5m";
  canvas.text(chip.top(chip.h * 0.34F),
              !in_cut ? "No chip: the tool is out of the cut"
              : even  ? "Chip " + grouped(picture.thickest_um) + micrometres + ", even"
                      : "Chip " + grouped(picture.thinnest_um) + " to " + grouped(picture.thickest_um) + micrometres,
              {.size = 20 * large, .weight = Weight::bold, .colour = theme.ink});
  const Rect bar{chip.x, chip.y + chip.h * 0.42F, chip.w, canvas.px(14)};
  canvas.fill(bar, theme.well, canvas.px(3));
  const auto share = [&](double um) { return static_cast<float>(std::clamp(um / (4 * picture.feed_um), 0.0, 1.0)); };
  if (in_cut)
    canvas.fill({bar.x + bar.w * share(picture.thinnest_um), bar.y,
                 std::max(canvas.px(3), bar.w * (share(picture.thickest_um) - share(picture.thinnest_um))), bar.h},
                theme.abnormal, canvas.px(2));
  canvas.line({bar.x + bar.w * share(picture.feed_um), bar.y - canvas.px(3)},
              {bar.x + bar.w * share(picture.feed_um), bar.bottom() + canvas.px(3)}, theme.ink, canvas.px(2));
  canvas.text({chip.x, bar.bottom() + canvas.px(4), chip.w, chip.bottom() - bar.bottom() - canvas.px(4)},
              "limit here " + grouped(picture.limit_mm, 2) + kThinGap + "mm by the formula",
              {.size = 13 * large, .colour = theme.dim, .lines = 2});
}

}  // namespace hushmill::dashboard
