#include <algorithm>

#include "dashboard/draw_field_value.hpp"
#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

Rect knob_row(const Canvas& canvas, const Rect& rect, std::size_t knob, std::size_t knobs) {
  const Rect inside = panel_inside(canvas, rect);
  const float height = (inside.h + canvas.px(2)) / static_cast<float>(knobs);
  return {inside.x, inside.y + static_cast<float>(knob) * height, inside.w, height};
}

float name_width(const Rect& row) { return row.w * 0.34F; }
float value_width(const Canvas& canvas) { return canvas.px(82); }

}  // namespace

Rect rig_value(const Canvas& canvas, const Rect& rect, std::size_t knob, std::size_t knobs) {
  const Rect row = knob_row(canvas, rect, knob, knobs);
  return {row.right() - value_width(canvas), row.y, value_width(canvas), std::min(row.h, canvas.px(22))};
}

Rect rig_bar(const Canvas& canvas, const Rect& rect, std::size_t knob, std::size_t knobs) {
  const Rect row = knob_row(canvas, rect, knob, knobs);
  if (row.h > canvas.px(34)) {  // tall rows: the bar has a line of its own under the words
    return {row.x, row.y + canvas.px(24), row.w, std::min(row.h - canvas.px(28), canvas.px(14))};
  }
  const float from = row.x + name_width(row) + canvas.px(4);
  return {from, row.y + canvas.px(4), row.right() - value_width(canvas) - canvas.px(6) - from,
          std::min(row.h - canvas.px(8), canvas.px(12))};
}

Rect rig_switch(const Canvas& canvas, const Rect& rect) {
  const Rect head = rect.inset(canvas.px(10), canvas.px(5)).top(canvas.px(20));
  return {head.right() - canvas.px(76), head.y, canvas.px(76), head.h};
}

void draw_rig(Canvas& canvas, const Rect& rect, const RigView& view) {
  const Theme& theme = canvas.theme();
  draw_panel(canvas, rect, "Simulator");
  const Rect button = rig_switch(canvas, rect);
  canvas.fill(button, view.in_cut ? theme.mark : theme.well, canvas.px(4), view.in_cut ? 0.35 : 1.0);
  canvas.outline(button, theme.mark, canvas.px(1), canvas.px(4));
  canvas.text(button.inset(canvas.px(4), 0), view.in_cut ? "in the cut" : "in air",
              {.size = 12, .colour = theme.ink, .x = AlignX::middle});
  const std::size_t knobs = view.knobs.size();
  for (std::size_t i = 0; i < knobs; ++i) {
    const RigKnob& knob = view.knobs[i];
    const Rect row = knob_row(canvas, rect, i, knobs), bar = rig_bar(canvas, rect, i, knobs),
               value = rig_value(canvas, rect, i, knobs);
    const bool tall = bar.y >= value.bottom();
    canvas.text({row.x, value.y, (tall ? row.w - value.w : name_width(row)) - canvas.px(2), value.h},
                info(knob.row.field).name, {.size = tall ? 15.0F : 12.0F, .colour = theme.dim});
    draw_field_value(canvas, value, knob.row, unit_of(knob.row.field, view.units));
    const Rect groove{bar.x, bar.middle_y() - canvas.px(2), bar.w, canvas.px(4)};
    canvas.fill(groove, theme.well, canvas.px(2));
    canvas.outline(groove, theme.mark, canvas.px(1), canvas.px(2));
    const float x = bar.x + bar.w * static_cast<float>(std::clamp(knob.share, 0.0, 1.0));
    canvas.fill({x - canvas.px(3), bar.y, canvas.px(6), bar.h}, theme.ink, canvas.px(2));
    canvas.mark("rig knob", x, bar.middle_y());
  }
}

}  // namespace hushmill::dashboard
