#include <algorithm>
#include <cmath>

#include "dashboard/action.hpp"
#include "dashboard/instruments.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kKeyRow = 24, kAround = 62, kWidest = 540;  // units; the widest of one column

struct KeysPage {
  int columns = 1;
  int rows = 1;  ///< of each column
};

KeysPage page_for(const Canvas& canvas, const Rect& window) {
  KeysPage page;
  page.columns = window.w >= canvas.px(2 * kWidest) ? 2 : 1;
  page.rows = std::max(1, static_cast<int>(std::floor((window.h - canvas.px(kAround)) / canvas.px(kKeyRow))));
  return page;
}

int count_of(bool rig) {
  const auto lines = key_lines();
  return static_cast<int>(std::count_if(lines.begin(), lines.end(), [&](const KeyLine& line) { return rig || !line.rig_only; }));
}

}  // namespace

int keys_pages(const Canvas& canvas, const Rect& window, bool rig) {
  const KeysPage page = page_for(canvas, window);
  const int each = page.columns * page.rows;
  return (count_of(rig) + each - 1) / each;
}

void draw_keys(Canvas& canvas, const Rect& window, bool rig, int page_number) {
  const Theme& theme = canvas.theme();
  const KeysPage page = page_for(canvas, window);
  const int pages = keys_pages(canvas, window, rig), each = page.columns * page.rows;
  const int first = (page_number - 1) * each, shown = std::min(each, count_of(rig) - first);
  const int rows = page.columns == 1 ? shown : (shown + 1) / 2;
  const float width = std::min(canvas.px(kWidest) * static_cast<float>(page.columns), window.w - canvas.px(16));
  const float height = std::min(canvas.px(44) + static_cast<float>(rows) * canvas.px(kKeyRow), window.h - canvas.px(16));
  canvas.enter("Keys");
  canvas.fill(window, theme.ground, 0, 0.72);
  const Rect card{window.middle_x() - width / 2, window.middle_y() - height / 2, width, height};
  const Rect inside = draw_panel(canvas, card, "Keys", page_number < pages ? "F1 goes on" : "F1 closes this card");
  canvas.outline(card, theme.mark, canvas.px(1), canvas.px(6));
  const float column = inside.w / static_cast<float>(page.columns), key_width = canvas.px(88);
  int at = -first;
  for (const KeyLine& line : key_lines()) {
    if (line.rig_only && !rig) continue;
    const int place = at++;
    if (place < 0 || place >= shown) continue;
    const int in_column = place / rows;
    const Rect row{inside.x + static_cast<float>(in_column) * column,
                   inside.y + static_cast<float>(place % rows) * canvas.px(kKeyRow), column - canvas.px(10), canvas.px(kKeyRow)};
    std::string key = line.key;
    if (*line.other) key += std::string(" or ") + line.other;
    canvas.text(row.left(key_width), key, {.size = 13, .weight = Weight::bold, .colour = theme.ink});
    canvas.text(row.after(key_width + canvas.px(4)), line.words, {.size = 13, .colour = theme.ink});
  }
}

}  // namespace hushmill::dashboard
