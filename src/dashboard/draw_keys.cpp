#include <algorithm>

#include "dashboard/action.hpp"
#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {

void draw_keys(Canvas& canvas, const Rect& window, bool rig) {
  const Theme& theme = canvas.theme();
  std::size_t shown = 0;
  for (const KeyLine& line : key_lines()) shown += !line.rig_only || rig ? 1 : 0;
  const float width = std::min(canvas.px(560), window.w - canvas.px(16));
  const float wanted = canvas.px(48) + static_cast<float>(shown) * canvas.px(25);
  const float height = std::min(wanted, window.h - canvas.px(16));
  canvas.enter("Keys");
  canvas.fill(window, theme.ground, 0, 0.72);
  const Rect card{window.middle_x() - width / 2, window.middle_y() - height / 2, width, height};
  const Rect inside = draw_panel(canvas, card, "Keys", "F1 closes this card");
  canvas.outline(card, theme.mark, canvas.px(1), canvas.px(6));
  const float row = std::min(canvas.px(25), inside.h / static_cast<float>(std::max<std::size_t>(shown, 1)));
  float y = inside.y;
  for (const KeyLine& line : key_lines()) {
    if (line.rig_only && !rig) continue;
    std::string key = line.key;
    if (*line.other) key += std::string(" or ") + line.other;
    canvas.text({inside.x, y, canvas.px(104), row}, key, {.size = 13, .weight = Weight::bold, .colour = theme.ink});
    canvas.text({inside.x + canvas.px(112), y, inside.w - canvas.px(112), row}, line.words,
                {.size = 13, .colour = theme.ink});
    y += row;
  }
}

}  // namespace hushmill::dashboard
