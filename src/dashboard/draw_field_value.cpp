#include "dashboard/draw_field_value.hpp"

#include <algorithm>

namespace hushmill::dashboard {
namespace {

void draw_shown(Canvas& canvas, const Rect& room, const FieldRow& row, const char* unit) {
  const Theme& theme = canvas.theme();
  if (row.spellings.empty()) {
    canvas.text(room, "not given", {.size = 12, .colour = theme.dim, .x = AlignX::right});
    return;
  }
  const TextStyle style{.size = 13, .colour = theme.ink, .x = AlignX::right};
  const float unit_width = *unit ? canvas.width_px(unit, 12, Weight::regular) + canvas.px(2) : 0;
  const Rect value = room.left(room.w - unit_width - canvas.px(*unit ? 4 : 0));
  // A huge number takes the unit's place before it is written any shorter.
  if (!*unit || canvas.width_px(row.spellings.front(), 12, Weight::regular) > value.w) {
    canvas.number(room, row.spellings, style);
    return;
  }
  canvas.number(value, row.spellings, style);
  canvas.text({room.right() - unit_width, room.y, unit_width, room.h}, unit,
              {.size = 12, .colour = theme.dim, .x = AlignX::right});
}

void draw_typed(Canvas& canvas, const Rect& room, const FieldRow& row) {
  const Theme& theme = canvas.theme();
  canvas.fill(room, theme.well, canvas.px(3));
  canvas.outline(room, row.wrong ? theme.danger_edge : theme.ink, canvas.px(1.5F), canvas.px(3));
  const Rect inside = room.inset(canvas.px(4), canvas.px(1));
  const auto width_of = [&](std::string_view words) { return canvas.width_px(words, 12, Weight::regular); };
  // What does not fit is scrolled away, first in front of the caret, then behind it.
  std::string_view before = std::string_view(row.typed).substr(0, row.caret),
                   after = std::string_view(row.typed).substr(row.caret);
  while (!before.empty() && width_of(before) > inside.w - canvas.px(4)) before.remove_prefix(1);
  while (!after.empty() && width_of(before) + width_of(after) > inside.w - canvas.px(4)) after.remove_suffix(1);
  const Words visible = Words(before) + Words(after);
  const float width = width_of(visible);
  if (row.all_selected)
    canvas.fill({inside.right() - width - canvas.px(2), inside.y, width + canvas.px(4), inside.h}, theme.line,
                canvas.px(2));
  canvas.text(inside, visible, {.size = 12, .colour = theme.ink, .x = AlignX::right});
  const float x = inside.right() - width_of(after);
  canvas.line({x, inside.y + canvas.px(1)}, {x, inside.bottom() - canvas.px(1)}, theme.ink, canvas.px(1.5F));
}

}  // namespace

void draw_field_value(Canvas& canvas, const Rect& room, const FieldRow& row, const char* unit) {
  if (row.editing) {
    draw_typed(canvas, room, row);
  } else {
    draw_shown(canvas, room, row, unit);
  }
}

}  // namespace hushmill::dashboard
