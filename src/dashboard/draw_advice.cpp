#include <algorithm>

#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

/// A small arrow beside the words: direction by shape, not by words alone.
void draw_direction(Canvas& canvas, const Rect& square, bool down, bool first) {
  const Rgb ink = canvas.theme().ink;
  const float r = std::min(square.w, square.h) / 2, x = square.middle_x(), y = square.middle_y();
  const float tip = down ? y + r : y - r, base = down ? y - r * 0.1F : y + r * 0.1F, tail = down ? y - r : y + r;
  const Point point{x, tip}, left{x - r * 0.7F, base}, right{x + r * 0.7F, base};
  if (first) {
    canvas.line({x, tail}, {x, base}, ink, r * 0.4F);
    canvas.polygon({point, right, left}, ink);
  } else {
    canvas.line({x, tail}, {x, base}, ink, canvas.px(1.2F));
    canvas.polygon_outline({point, right, left}, ink, canvas.px(1.2F));
  }
}

float scale_of(bool large) { return large ? 2.0F : 1.0F; }
float symbol_px(const Canvas& canvas, bool large) { return canvas.px(18 * scale_of(large)); }

float likely_px(const Canvas& canvas, const AdviceLine& line, float width, bool large) {
  return std::min(width * 0.62F, canvas.width_px(line.move.likely, 12 * scale_of(large), Weight::regular) + canvas.px(2));
}

/// What is to be typed or turned stands in one size for both ways, or the second looks like the first.
float shared_size(const Canvas& canvas, const AdviceView& view, std::size_t count, float width, bool large) {
  const float size = 15 * scale_of(large);
  float share = 1;
  for (std::size_t i = 0; i < count; ++i) {
    if (view.lines[i].move.words.begin() == view.lines[i].move.words.end()) continue;
    const float room = width - symbol_px(canvas, large) - canvas.px(8);
    const float left = room - likely_px(canvas, view.lines[i], room, large) - canvas.px(8);
    share = std::min(share, left / std::max(1.0F, canvas.width_px(*view.lines[i].move.words.begin(), size, Weight::regular)));
  }
  return size * std::max(large ? 0.85F : 0.6F, share);
}

void draw_one(Canvas& canvas, Rect room, const AdviceLine& line, bool large, float middle_size) {
  const Theme& theme = canvas.theme();
  const float scale = scale_of(large);
  const float symbol = symbol_px(canvas, large);
  draw_direction(canvas, Rect{room.x, room.y + (room.h / 3 - symbol) / 2, symbol, symbol},
                 line.direction == advise::Direction::lower, line.first);
  const Rect words = room.after(symbol + canvas.px(8));
  const float row = room.h / 3;
  const Words head = (line.first ? "First: " : "Or: ") + line.move.short_words;
  canvas.text(words.top(row), head,
              {.size = 15 * scale, .weight = line.first ? Weight::bold : Weight::regular, .colour = theme.ink});
  const Rect middle{words.x, words.y + row, words.w, row};
  const float likely = likely_px(canvas, line, middle.w, large);
  const Rect said = middle.left(middle.w - likely - canvas.px(8));
  std::span<const Words> spellings(line.move.words.begin(), line.move.words.end());
  // Across the room a shorter spelling that can be read is better than all of it.
  while (large && spellings.size() > 1 && canvas.width_px(spellings.front(), middle_size, Weight::regular) > said.w) spellings = spellings.subspan(1);
  canvas.number(said, spellings, {.size = middle_size, .colour = theme.ink});
  canvas.text({middle.right() - likely, middle.y, likely, middle.h}, line.move.likely,
              {.size = std::min(12 * scale, middle_size), .colour = theme.dim, .x = AlignX::right});
  const bool warned = !line.warning.empty();
  const Rect last{words.x, words.y + 2 * row, words.w, row};
  if (warned)
    canvas.text(last, line.warning, {.size = 12 * scale, .colour = theme.abnormal_text});
  else
    canvas.number(last, line.move.beside, {.size = 12 * scale, .colour = theme.dim});
}

/// When speed alone will probably not do: what else, in place of the second speed.
void draw_remedies(Canvas& canvas, const Rect& room, std::span<const Words> remedies, bool large) {
  const Theme& theme = canvas.theme();
  const float scale = large ? 2.0F : 1.0F;
  const float head = canvas.px(18 * scale);
  canvas.text(room.top(head), "Speed alone will probably not do:",
              {.size = 13 * scale, .weight = Weight::bold, .colour = theme.abnormal_text});
  const Rect rest = room.below(head);
  const auto shown = std::min<std::size_t>(remedies.size(), large ? 3 : 2);
  const float each = rest.h / static_cast<float>(shown);
  for (std::size_t i = 0; i < shown; ++i) {
    canvas.text({rest.x, rest.y + static_cast<float>(i) * each, rest.w, each}, remedies[i],
                {.size = 12 * scale, .colour = theme.ink, .y = AlignY::top, .lines = 2});
  }
}

}  // namespace

void draw_advice(Canvas& canvas, const Rect& rect, const AdviceView& view, bool large) {
  const Theme& theme = canvas.theme();
  if (large) {
    canvas.enter("Advice");
    canvas.fill(rect, theme.panel, canvas.px(6));
  } else {
    draw_panel(canvas, rect, "Advice");
  }
  Rect inside = large ? rect.inset(canvas.px(16), canvas.px(14)) : panel_inside(canvas, rect);
  if (!view.active || view.lines.empty()) {
    const Words words = view.active ? (view.reason.empty() ? view.headline : view.reason)
                                          : view.idle;
    canvas.text(inside, words, {.size = large ? 36.0F : 13.0F, .colour = theme.dim, .y = large ? AlignY::middle : AlignY::top, .lines = 5});
    return;
  }
  const float gap = canvas.px(large ? 24 : 8);
  const auto count = view.remedies.empty() ? view.lines.size() : std::size_t{1};
  // A note has room at the foot where the panel is tall enough; across the room it would be too small to read.
  const float note = canvas.px(48);
  if (!large && !view.note.empty() && view.remedies.empty() && inside.h > canvas.px(104) + note) {
    canvas.text({inside.x, inside.bottom() - note, inside.w, note}, view.note,
                {.size = 12, .colour = theme.dim, .y = AlignY::bottom, .lines = 3});
    inside.h -= note + canvas.px(4);
  }
  if (large && inside.w > inside.h * 1.6F) {  // side by side
    const float half = (inside.w - gap) / 2;
    const float size = shared_size(canvas, view, count, half, true);
    for (std::size_t i = 0; i < count; ++i) {
      draw_one(canvas, {inside.x + static_cast<float>(i) * (half + gap), inside.y, half, inside.h}, view.lines[i],
               true, size);
    }
    if (!view.remedies.empty())
      draw_remedies(canvas, {inside.x + half + gap, inside.y, half, inside.h}, view.remedies, true);
    return;
  }
  const float each = (inside.h - gap) / 2;
  const float size = shared_size(canvas, view, count, inside.w, large);
  for (std::size_t i = 0; i < count; ++i) {
    draw_one(canvas, {inside.x, inside.y + static_cast<float>(i) * (each + gap), inside.w, each}, view.lines[i], large, size);
  }
  if (!view.remedies.empty())
    draw_remedies(canvas, {inside.x, inside.y + each + gap, inside.w, each}, view.remedies, large);
}

void draw_cautions(Canvas& canvas, const Rect& rect, const AdviceView& view, bool one_row) {
  const Theme& theme = canvas.theme();
  canvas.enter("Cautions");
  canvas.fill(rect, theme.panel, canvas.px(6));
  const Rect inside = rect.inset(canvas.px(10), canvas.px(8));
  const char* kFirst = "Advice only. Doors shut, guards on.";
  const char* kRest =
      "Never above the lowest of spindle, holder and tool limit. Shop rules and qualified people come first.";
  const char* kFaster = "Faster is hotter. Never above spindle, holder or tool limit. Shop rules and qualified people come first.";
  const char* kFasterUnlimited = "No upper limit was entered: check spindle, holder, tool. Shop rules and qualified people come first.";
  const bool faster = std::any_of(view.lines.begin(), view.lines.end(), [](const AdviceLine& line) { return line.direction == advise::Direction::higher; });
  const char* rest = !faster ? kRest : view.unlimited ? kFasterUnlimited : kFaster;
  const float head = canvas.px(one_row ? 20 : 18);
  canvas.text(inside.top(head), kFirst, {.size = one_row ? 17.0F : 13.0F, .weight = Weight::bold, .colour = theme.ink});
  canvas.text(inside.below(head + canvas.px(2)), rest,
              {.size = one_row ? 15.0F : 12.0F, .colour = theme.dim, .y = AlignY::top, .lines = 4});
}

}  // namespace hushmill::dashboard
