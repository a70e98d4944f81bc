#include <algorithm>
#include <array>

#include "dashboard/draw_field_value.hpp"
#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kTroubleRows = 2;

/// Rows for the fields, the derived values and the line of trouble share the height.
float row_height(const Canvas& canvas, const Rect& inside, std::size_t rows) {
  return std::min(canvas.px(24), inside.h / (static_cast<float>(rows) + kTroubleRows));
}

}  // namespace

Rect cut_row(const Canvas& canvas, const Rect& rect, std::size_t row, std::size_t rows) {
  const Rect inside = panel_inside(canvas, rect);
  const float height = row_height(canvas, inside, rows);
  return {inside.x, inside.y + static_cast<float>(row) * height, inside.w, height};
}

void draw_cut(Canvas& canvas, const Rect& rect, const CutView& view) {
  const Theme& theme = canvas.theme();
  const Rect inside = draw_panel(canvas, rect, "Cut", view.tool.empty() ? "click or Tab to edit" : view.tool);
  const std::size_t rows = view.rows.size();
  for (std::size_t i = 0; i < rows; ++i) {
    const Rect row = cut_row(canvas, rect, i, rows);
    if (i > 0) canvas.line({row.x, row.y}, {row.right(), row.y}, theme.line, canvas.px(1));
    const FieldRow& field = view.rows[i];
    const float name_width = row.w * 0.46F;
    canvas.text(row.left(name_width), info(field.field).name, {.size = 12, .colour = theme.dim});
    draw_field_value(canvas, row.after(name_width + canvas.px(4)).inset(0, canvas.px(1)), field,
                     unit_of(field.field, view.units));
  }
  const float used = row_height(canvas, inside, rows) * static_cast<float>(rows);
  const Rect rest = inside.below(used + canvas.px(2));
  if (!view.trouble.empty()) {
    canvas.text(rest, view.trouble, {.size = 12, .colour = theme.danger_text, .y = AlignY::top, .lines = 3});
    return;
  }
  float y = rest.y;
  for (const Words& words : view.derived) {
    if (y + canvas.px(13) > rest.bottom()) break;
    canvas.text({rest.x, y, rest.w, canvas.px(14)}, words, {.size = 12, .colour = theme.dim});
    y += canvas.px(16);
  }
}

}  // namespace hushmill::dashboard
