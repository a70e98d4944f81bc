#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kPad = 10, kTitle = 24;  // units

}  // namespace

Rect panel_inside(const Canvas& canvas, const Rect& rect) {
  return rect.inset(canvas.px(kPad), canvas.px(7)).below(canvas.px(kTitle));
}

Rect draw_panel(Canvas& canvas, const Rect& rect, const char* title, std::string_view note) {
  const Theme& theme = canvas.theme();
  canvas.enter(title);
  canvas.fill(rect, theme.panel, canvas.px(6));
  const Rect head = rect.inset(canvas.px(kPad), canvas.px(7)).top(canvas.px(18));
  const Rect used = canvas.text(head, title, {.size = 15, .weight = Weight::bold, .colour = theme.ink});
  if (!note.empty()) {
    canvas.text(head.after(used.w + canvas.px(14)), note, {.size = 12, .colour = theme.dim, .x = AlignX::right});
  }
  return panel_inside(canvas, rect);
}

}  // namespace hushmill::dashboard
