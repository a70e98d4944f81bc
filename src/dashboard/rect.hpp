// A rectangle on the screen in framebuffer pixels, y downward. A plain value; an empty one means "not shown".
#pragma once

#include <algorithm>

namespace hushmill::dashboard {

struct Rect {
  float x = 0;
  float y = 0;
  float w = 0;
  float h = 0;

  constexpr float right() const noexcept { return x + w; }
  constexpr float bottom() const noexcept { return y + h; }
  constexpr float middle_x() const noexcept { return x + w / 2; }
  constexpr float middle_y() const noexcept { return y + h / 2; }
  constexpr bool empty() const noexcept { return w <= 0 || h <= 0; }
  constexpr bool contains(float px, float py) const noexcept {
    return px >= x && px < right() && py >= y && py < bottom();
  }
  /// Smaller by `by` on every side; never negative.
  constexpr Rect inset(float by) const noexcept { return inset(by, by); }
  constexpr Rect inset(float by_x, float by_y) const noexcept {
    return {x + by_x, y + by_y, std::max(0.0F, w - 2 * by_x), std::max(0.0F, h - 2 * by_y)};
  }
  /// The strip of the given size at one side, and what is left when it is taken away.
  constexpr Rect top(float size) const noexcept { return {x, y, w, std::min(size, h)}; }
  constexpr Rect below(float size) const noexcept { return {x, y + std::min(size, h), w, std::max(0.0F, h - size)}; }
  constexpr Rect left(float size) const noexcept { return {x, y, std::min(size, w), h}; }
  constexpr Rect after(float size) const noexcept { return {x + std::min(size, w), y, std::max(0.0F, w - size), h}; }
};

/// True when the two share more than `slack` pixels in both directions.
constexpr bool overlap(const Rect& a, const Rect& b, float slack = 0) noexcept {
  return std::min(a.right(), b.right()) - std::max(a.x, b.x) > slack &&
         std::min(a.bottom(), b.bottom()) - std::max(a.y, b.y) > slack;
}

/// True when `inner` lies in `outer`, give or take `slack` pixels.
constexpr bool inside(const Rect& inner, const Rect& outer, float slack = 0) noexcept {
  return inner.x >= outer.x - slack && inner.y >= outer.y - slack && inner.right() <= outer.right() + slack &&
         inner.bottom() <= outer.bottom() + slack;
}

}  // namespace hushmill::dashboard
