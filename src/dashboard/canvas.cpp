#include "dashboard/canvas.hpp"

#include <imgui.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <type_traits>

#include "dashboard/numbers.hpp"

namespace hushmill::dashboard {
namespace {

constexpr float kThinGapEm = 0.22F;  // the font's own no-break space is too wide within a number
constexpr float kLineEm = 1.28F;
constexpr float kDescenderEm = 0.21F;

ImU32 packed(Rgb colour, double opacity) {
  return IM_COL32(colour.r, colour.g, colour.b, static_cast<int>(std::lround(255 * opacity)));
}

ImVec2 vec(Point point) { return {point.x, point.y}; }

// ImGui's texture handle is a pointer in older versions and a number in newer ones.
template <class Handle>
Handle as_texture(std::uintptr_t texture) {
  if constexpr (std::is_pointer_v<Handle>) {
    return reinterpret_cast<Handle>(texture);  // NOLINT(performance-no-int-to-ptr): what newer ImGui calls a texture
  } else {
    return static_cast<Handle>(texture);
  }
}

/// Calls `piece(text)` for the stretches between narrow gaps and `gap()` for the gaps.
template <class Piece, class Gap>
void split_at_gaps(std::string_view words, Piece piece, Gap gap) {
  const std::string_view thin = kThinGap;
  while (!words.empty()) {
    const auto at = words.find(thin);
    piece(words.substr(0, at));
    if (at == std::string_view::npos) return;
    gap();
    words.remove_prefix(at + thin.size());
  }
}

/// One line, with plain spaces for narrow gaps.
std::string as_plain(std::string_view words) {
  std::string plain;
  split_at_gaps(
      words, [&](std::string_view piece) { plain.append(piece); }, [&] { plain.push_back(' '); });
  std::replace(plain.begin(), plain.end(), '\n', ' ');
  return plain;
}

}  // namespace

void Canvas::fill(const Rect& rect, Rgb colour, float rounding_px, double opacity) {
  list_.AddRectFilled({rect.x, rect.y}, {rect.right(), rect.bottom()}, packed(colour, opacity), rounding_px);
}

void Canvas::outline(const Rect& rect, Rgb colour, float width_px, float rounding_px) {
  list_.AddRect({rect.x, rect.y}, {rect.right(), rect.bottom()}, packed(colour, 1), rounding_px, 0, width_px);
}

void Canvas::line(Point a, Point b, Rgb colour, float width_px, double opacity) {
  list_.AddLine(vec(a), vec(b), packed(colour, opacity), width_px);
}

void Canvas::dashed(Point a, Point b, Rgb colour, float width_px, float dash_px) {
  const float length = std::hypot(b.x - a.x, b.y - a.y);
  if (!(length > 0) || !(dash_px > 0)) return;
  for (float at = 0; at < length; at += 2 * dash_px) {
    const float from = at / length, to = std::fmin(at + dash_px, length) / length;
    line({a.x + (b.x - a.x) * from, a.y + (b.y - a.y) * from}, {a.x + (b.x - a.x) * to, a.y + (b.y - a.y) * to}, colour,
         width_px);
  }
}

void Canvas::curve(std::span<const Point> points, Rgb colour, float width_px, double opacity) {
  static_assert(sizeof(Point) == sizeof(ImVec2));
  if (points.size() < 2) return;
  for (const Point& point : points) list_.PathLineTo(vec(point));
  list_.PathStroke(packed(colour, opacity), 0, width_px);
}

void Canvas::polygon(std::initializer_list<Point> points, Rgb colour, double opacity) {
  for (const Point& point : points) list_.PathLineTo(vec(point));
  list_.PathFillConvex(packed(colour, opacity));
}

void Canvas::polygon_outline(std::initializer_list<Point> points, Rgb colour, float width_px) {
  for (const Point& point : points) list_.PathLineTo(vec(point));
  list_.PathStroke(packed(colour, 1), ImDrawFlags_Closed, width_px);
}

void Canvas::disc(Point centre, float radius_px, Rgb colour) {
  list_.AddCircleFilled(vec(centre), radius_px, packed(colour, 1));
}

void Canvas::half_disc(Point centre, float radius_px, Rgb colour) {
  const float quarter = std::numbers::pi_v<float> / 2;
  list_.PathArcTo(vec(centre), radius_px, quarter, 3 * quarter, 32);
  list_.PathFillConvex(packed(colour, 1));
}

void Canvas::ring(Point centre, float radius_px, Rgb colour, float width_px) {
  list_.AddCircle(vec(centre), radius_px, packed(colour, 1), 0, width_px);
}

void Canvas::arc(Point centre, float radius_px, float from_rad, float to_rad, Rgb colour, float width_px) {
  list_.PathArcTo(vec(centre), radius_px, from_rad, to_rad, 32);
  list_.PathStroke(packed(colour, 1), 0, width_px);
}

void Canvas::hatch(const Rect& rect, Rgb colour, float apart_px, float width_px) {
  if (rect.empty() || !(apart_px > 1)) return;
  clip(rect);
  for (float x = rect.x - rect.h; x < rect.right(); x += apart_px) {
    line({x, rect.bottom()}, {x + rect.h, rect.y}, colour, width_px);
  }
  unclip();
}

void Canvas::clip(const Rect& rect) { list_.PushClipRect({rect.x, rect.y}, {rect.right(), rect.bottom()}, true); }
void Canvas::unclip() { list_.PopClipRect(); }

void Canvas::picture(std::uintptr_t texture, const Rect& rect, float u0, float u1, float v0, float v1) {
  if (texture == 0 || rect.empty()) return;
  list_.AddImage(as_texture<ImTextureID>(texture), {rect.x, rect.y}, {rect.right(), rect.bottom()}, {u0, v1}, {u1, v0});
}

float Canvas::measure(std::string_view words, float size_px, Weight weight) const {
  float width = 0;
  ImFont* font = type_.font(weight, size_px);
  const float box = type_.box_px(size_px);
  split_at_gaps(
      words,
      [&](std::string_view piece) {
        if (piece.empty()) return;
        width += font->CalcTextSizeA(box, 1e9F, 0, piece.data(), piece.data() + piece.size()).x;
      },
      [&] { width += kThinGapEm * size_px; });
  return width;
}

float Canvas::width_px(std::string_view words, float size_units, Weight weight) const {
  return measure(words, type_.sizes_px(weight, size_units).front(), weight);
}

Rect Canvas::put(const Rect& room, const Fitted& fitted, const TextStyle& style) {
  if (fitted.text.empty()) return {room.x, room.y, 0, 0};
  const float size = fitted.size_px;
  const float capital = type_.capital_px(size), ascent = type_.ascent_px(size), box = type_.box_px(size);
  const float pitch = kLineEm * size;
  const auto count = static_cast<float>(fitted.count());
  const float block = capital + (count - 1) * pitch;  // from the first line's capitals to the last line's foot
  float baseline = room.y + capital;
  if (style.y == AlignY::middle) baseline = room.middle_y() - block / 2 + capital;
  if (style.y == AlignY::bottom) baseline = room.bottom() - kDescenderEm * size - block + capital;

  ImFont* font = type_.font(style.weight, size);
  Rect covered;
  each_line(fitted.text, [&](std::string_view words) {
    const float width = measure(words, size, style.weight);
    float x = room.x;
    if (style.x == AlignX::middle) x = room.middle_x() - width / 2;
    if (style.x == AlignX::right) x = room.right() - width;
    x = std::round(x);
    float pen = x;
    const float y = std::round(baseline - ascent);
    split_at_gaps(
        words,
        [&](std::string_view piece) {
          if (piece.empty()) return;
          const char* end = piece.data() + piece.size();
          list_.AddText(font, box, {pen, y}, packed(style.colour, 1), piece.data(), end);
          pen += font->CalcTextSizeA(box, 1e9F, 0, piece.data(), end).x;
        },
        [&] { pen += kThinGapEm * size; });
    const Rect line_box{x, baseline - capital, width, capital + kDescenderEm * size};
    if (covered.empty()) {
      covered = line_box;
    } else {
      const float left = std::fmin(covered.x, line_box.x), right = std::fmax(covered.right(), line_box.right());
      covered = {left, covered.y, right - left, line_box.bottom() - covered.y};
    }
    baseline += pitch;
  });
  if (report_) report_->texts.push_back({panel_, as_plain(fitted.text), covered, room, size, fitted.shortened});
  return covered;
}

Rect Canvas::text(const Rect& room, std::string_view words, const TextStyle& style) {
  if (words.empty() || room.w <= 0) return {room.x, room.y, 0, 0};
  const FitSettings settings{room.w, room.h, type_.sizes_px(style.weight, style.size), style.lines, kLineEm};
  const FitCache::Place place{room.w, room.h, settings.sizes_px.front(), style.lines, style.weight == Weight::bold};
  const Fitted& fitted = type_.fits().find(words, place, [&] {
    return fit_text(words, settings, [&](std::string_view part, float size) { return measure(part, size, style.weight); });
  });
  return put(room, fitted, style);
}

Rect Canvas::number(const Rect& room, std::span<const Words> spellings, const TextStyle& style) {
  if (spellings.empty()) return {room.x, room.y, 0, 0};
  const FitSettings settings{room.w, room.h, type_.sizes_px(style.weight, style.size), 1, kLineEm};
  const auto fit = [&] {
    return fit_choice(spellings, settings,
                      [&](std::string_view part, float size) { return measure(part, size, style.weight); });
  };
  // Known by its first spelling and how many there are; should the others differ after all, it is fitted anew.
  const FitCache::Place place{room.w, room.h, settings.sizes_px.front(), -static_cast<int>(spellings.size()),
                              style.weight == Weight::bold};
  const Fitted& known = type_.fits().find(spellings.front(), place, fit);
  const bool same = std::find(spellings.begin(), spellings.end(), known.text) != spellings.end();
  return put(room, same ? known : fit(), style);
}

Rect Canvas::verdict_word(const Rect& room, std::string_view word, Rgb colour) {
  const FitSettings settings{room.w, room.h, type_.verdict_sizes_px(), 1, kLineEm};
  const FitCache::Place place{room.w, room.h, settings.sizes_px.front(), 1, true};
  const Fitted& fitted = type_.fits().find(word, place, [&] {
    return fit_text(word, settings, [&](std::string_view part, float size) { return measure(part, size, Weight::bold); });
  });
  return put(room, fitted, {0, Weight::bold, colour, AlignX::left, AlignY::middle, 1});
}

void Canvas::mark(const char* what, float x, float y) {
  if (report_) report_->marks.push_back({panel_, what, x, y});
}

}  // namespace hushmill::dashboard
