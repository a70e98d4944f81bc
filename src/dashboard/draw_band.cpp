#include <array>
#include <cmath>
#include <numbers>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

constexpr int kWavePoints = 33;

/// One and a half periods across the shape; jagged: the same as straight strokes.
void draw_wave(Canvas& canvas, Point centre, float half_width, float height, bool jagged, bool growing, Rgb colour,
               float width) {
  std::array<Point, kWavePoints> points;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const float at = static_cast<float>(i) / (kWavePoints - 1);
    const float turns = at * (jagged ? 2.5F : 1.5F);
    float value = std::sin(2 * std::numbers::pi_v<float> * turns);
    if (jagged) value = 2 / std::numbers::pi_v<float> * std::asin(value);
    if (growing) value *= 0.15F + 0.85F * at;
    points[i] = {centre.x - half_width + 2 * half_width * at, centre.y - height * value};
  }
  canvas.curve(points, colour, width);
}

/// Right-aligned in `row`, on two lines where it is long; how much of the row it took.
float draw_keeping(Canvas& canvas, const Rect& row, const KeepingMark& keeping, float size) {
  const Theme& theme = canvas.theme();
  const float dot = keeping.dot == KeepingDot::none ? 0 : canvas.px(size);
  const float width = std::fmin(canvas.width_px(keeping.text, size, Weight::regular) + canvas.px(2), row.w - dot);
  const Rect words{row.right() - width, row.y, width, row.h};
  canvas.text(words, keeping.text,
              {.size = size, .colour = keeping.tone == Tone::neutral ? theme.dim : theme.text(keeping.tone), .x = AlignX::right, .lines = 2});
  const Point centre{words.x - dot * 0.6F, row.middle_y()};
  if (keeping.dot == KeepingDot::disc) canvas.disc(centre, dot * 0.36F, theme.ink);
  if (keeping.dot == KeepingDot::ring) canvas.ring(centre, dot * 0.34F, theme.dim, std::fmax(1.5F, dot * 0.1F));
  canvas.mark("keeping", centre.x, centre.y);
  return width + dot;
}

}  // namespace

void draw_shape(Canvas& canvas, const Rect& square, Shape shape, Tone tone) {
  const Theme& theme = canvas.theme();
  const Rgb fill = theme.fill(tone), edge = theme.edge(tone), within = theme.light ? theme.ink : theme.ground;
  const Point centre{square.middle_x(), square.middle_y()};
  const float r = std::fmin(square.w, square.h) / 2;
  const float stroke = std::fmax(2.0F, r * 0.11F), rim = std::fmax(1.5F, r * 0.05F);
  switch (shape) {
    case Shape::ring:
      canvas.ring(centre, r * 0.86F, edge, stroke);
      break;
    case Shape::gap:
      for (int i = 0; i < 4; ++i) {
        const auto from = static_cast<float>(i) * std::numbers::pi_v<float> / 2 + 0.2F;
        canvas.arc(centre, r * 0.86F, from, from + 1.17F, edge, stroke);
      }
      canvas.line({centre.x - r * 0.4F, centre.y}, {centre.x + r * 0.4F, centre.y}, edge, stroke);
      break;
    case Shape::wave:
      canvas.disc(centre, r * 0.92F, fill);
      canvas.ring(centre, r * 0.92F, edge, rim);
      draw_wave(canvas, centre, r * 0.56F, r * 0.26F, false, false, within, stroke);
      break;
    case Shape::half:
      // The left half is quiet, the right half is open: what comes next is not known.
      canvas.half_disc(centre, r * 0.92F, fill);
      canvas.ring(centre, r * 0.92F, edge, stroke);
      draw_wave(canvas, {centre.x - r * 0.46F, centre.y}, r * 0.3F, r * 0.16F, false, false, within, stroke);
      draw_wave(canvas, {centre.x + r * 0.44F, centre.y}, r * 0.3F, r * 0.24F, true, false, edge, stroke);
      break;
    case Shape::square: {
      const Rect box{centre.x - r * 0.84F, centre.y - r * 0.84F, r * 1.68F, r * 1.68F};
      canvas.fill(box, fill, r * 0.08F);
      canvas.outline(box, edge, rim, r * 0.08F);
      for (int i = -1; i <= 1; ++i) {  // even bars: every tooth the same
        const float x = centre.x + static_cast<float>(i) * r * 0.46F;
        canvas.line({x, centre.y - r * 0.5F}, {x, centre.y + r * 0.5F}, within, stroke * 1.3F);
      }
      break;
    }
    case Shape::triangle: {
      const Point top{centre.x, centre.y - r * 0.92F}, right{centre.x + r, centre.y + r * 0.82F},
          left{centre.x - r, centre.y + r * 0.82F};
      canvas.polygon({top, right, left}, fill);
      canvas.polygon_outline({top, right, left}, edge, rim);
      draw_wave(canvas, {centre.x, centre.y + r * 0.34F}, r * 0.46F, r * 0.26F, false, true, within, stroke);
      break;
    }
    case Shape::diamond: {
      const Point top{centre.x, centre.y - r}, right{centre.x + r * 1.08F, centre.y}, foot{centre.x, centre.y + r},
          left{centre.x - r * 1.08F, centre.y};
      canvas.polygon({top, right, foot, left}, fill);
      canvas.polygon_outline({top, right, foot, left}, edge, rim);
      draw_wave(canvas, centre, r * 0.5F, r * 0.3F, true, false, within, stroke);
      break;
    }
  }
}

void draw_band(Canvas& canvas, const Layout& layout, const VerdictView& view, const KeepingMark& keeping) {
  const Theme& theme = canvas.theme();
  const Rect band = layout.band;
  const bool room = layout.look == Look::room;
  canvas.enter("Verdict");
  canvas.fill(band, theme.band(view.tone), canvas.px(8));
  canvas.outline(band, theme.edge(view.tone), canvas.px(1.5F), canvas.px(8));

  const Rect inside = band.inset(canvas.px(16), canvas.px(10));
  const float word_height = layout.lines_below ? layout.capital_px * 1.45F : inside.h;
  const float symbol = std::fmin(layout.capital_px * 1.42F, word_height);
  const Rect word_row{inside.x, inside.y, inside.w, word_height};
  const Rect square{word_row.x, word_row.middle_y() - symbol / 2, symbol, symbol};
  draw_shape(canvas, square.inset(symbol * 0.04F), view.shape, view.tone);
  canvas.mark("shape", square.middle_x(), square.middle_y());
  const Rect word = canvas.verdict_word(
      {square.right() + canvas.px(18), word_row.y, inside.right() - square.right() - canvas.px(18), word_row.h},
      view.word, theme.ink);

  Rect lines = inside.below(word_height + canvas.px(4));
  if (!layout.lines_below) {
    const float x = word.right() + canvas.px(26);
    lines = {x, inside.y, inside.right() - x, inside.h};
  }
  if (lines.w < canvas.px(60)) {
    draw_keeping(canvas, inside.top(canvas.px(18)), keeping, 14);  // it must be seen, whatever else finds no room
    return;
  }

  // Beside narrow lines what is kept has a row of its own.
  const bool beside = lines.w > canvas.px(420);
  if (!beside) {
    draw_keeping(canvas, lines.top(canvas.px(17)), keeping, 14);
    lines = lines.below(canvas.px(17));
  }

  // The clock takes the corner; the lines share the rest: what, how, and in bold what to do.
  const float third = lines.h / 3;
  Rect first = lines.top(third);
  const float clock_width = canvas.width_px(view.clock, room ? 24 : 17, Weight::regular) + canvas.px(2);
  const bool clock_fits = first.w > clock_width + canvas.px(200);
  if (clock_fits) {
    canvas.text({first.right() - clock_width, first.y, clock_width, first.h}, view.clock,
                {.size = room ? 24.0F : 17.0F, .colour = theme.dim, .x = AlignX::right});
    first.w -= clock_width + canvas.px(16);
  }
  const int wrapped = lines.w < canvas.px(420) ? 2 : 1;
  canvas.text(first, view.tone_line, {.size = room ? 36.0F : 24.0F, .colour = theme.ink, .lines = wrapped});
  float how_width = lines.w;
  if (beside) {
    // Half of the row at most: what was heard must stay whole beside the longest news.
    const Rect half{lines.middle_x(), lines.y + third, lines.w / 2, third};
    how_width -= draw_keeping(canvas, half, keeping, room ? 22 : 15) + canvas.px(14);
  }
  canvas.text({lines.x, lines.y + third, how_width, third}, view.how_line,
              {.size = room ? 30.0F : 20.0F, .colour = theme.dim, .lines = 2});
  canvas.text({lines.x, lines.y + 2 * third, lines.w, third}, view.do_line,
              {.size = room ? 44.0F : 24.0F, .weight = Weight::bold, .colour = theme.ink, .lines = wrapped});
}

}  // namespace hushmill::dashboard
