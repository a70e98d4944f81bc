// Draws shapes and fitted text into a draw list and keeps a report of every string with its rectangle.
//
// The only way by which instruments put anything on the screen. All sizes of text are in units, all places in pixels.
// The report is what tests (and the drawn-text file) read: what stands where, how large, and whether it was shortened.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "dashboard/rect.hpp"
#include "dashboard/text_fit.hpp"
#include "dashboard/theme.hpp"
#include "dashboard/typography.hpp"

struct ImDrawList;

namespace hushmill::dashboard {

/// One string as drawn.
struct DrawnText {
  std::string panel;
  std::string text;   ///< lines joined by a space, narrow gaps as plain spaces
  Rect box;           ///< from the top of the capitals to the foot of the descenders
  Rect room;          ///< what it was given
  float size_px = 0;  ///< of the em
  bool shortened = false;
};

/// One mark that carries meaning, as drawn; for tests and the report.
struct DrawnMark {
  std::string panel;
  std::string what;
  float x = 0;
  float y = 0;
};

struct Report {
  std::vector<DrawnText> texts;
  std::vector<DrawnMark> marks;
};

enum class AlignX { left, middle, right };
enum class AlignY { top, middle, bottom };

struct TextStyle {
  float size = 13;  ///< units; smaller when it does not fit, down to 12
  Weight weight = Weight::regular;
  Rgb colour;
  AlignX x = AlignX::left;
  AlignY y = AlignY::middle;
  int lines = 1;
};

struct Point {
  float x = 0;
  float y = 0;
};

class Canvas {
 public:
  Canvas(ImDrawList& list, const Typography& typography, const Theme& theme, Report* report) noexcept
      : list_(list), type_(typography), theme_(theme), report_(report) {}

  const Theme& theme() const noexcept { return theme_; }
  float unit() const noexcept { return type_.unit_px(); }
  /// Pixels of so many units.
  float px(float units) const noexcept { return units * type_.unit_px(); }
  void enter(const char* panel) noexcept { panel_ = panel; }

  void fill(const Rect& rect, Rgb colour, float rounding_px = 0, double opacity = 1);
  void outline(const Rect& rect, Rgb colour, float width_px, float rounding_px = 0);
  void line(Point a, Point b, Rgb colour, float width_px, double opacity = 1);
  void dashed(Point a, Point b, Rgb colour, float width_px, float dash_px);
  void curve(std::span<const Point> points, Rgb colour, float width_px, double opacity = 1);
  /// Convex, clockwise.
  void polygon(std::initializer_list<Point> points, Rgb colour, double opacity = 1);
  void polygon_outline(std::initializer_list<Point> points, Rgb colour, float width_px);
  void disc(Point centre, float radius_px, Rgb colour);
  /// Its left half.
  void half_disc(Point centre, float radius_px, Rgb colour);
  void ring(Point centre, float radius_px, Rgb colour, float width_px);
  void arc(Point centre, float radius_px, float from_rad, float to_rad, Rgb colour, float width_px);
  /// Slanted lines across a rectangle: a zone that is barred.
  void hatch(const Rect& rect, Rgb colour, float apart_px, float width_px);
  void clip(const Rect& rect);
  void unclip();
  /// Part of a texture; u to the right, v upward from 0 at the rectangle's foot.
  void picture(std::uintptr_t texture, const Rect& rect, float u0, float u1, float v0, float v1);

  /// Words, made smaller, wrapped (`lines` > 1) or shortened to fit. Gives back what they cover.
  Rect text(const Rect& room, std::string_view words, const TextStyle& style);
  /// A number with shorter spellings to choose from; never shortened. Nothing is drawn where none fits.
  Rect number(const Rect& room, std::span<const Words> spellings, const TextStyle& style);
  /// The verdict word, capitals only.
  Rect verdict_word(const Rect& room, std::string_view word, Rgb colour);
  float width_px(std::string_view words, float size_units, Weight weight) const;
  void mark(const char* what, float x, float y);

 private:
  Rect put(const Rect& room, const Fitted& fitted, const TextStyle& style);
  float measure(std::string_view words, float size_px, Weight weight) const;

  ImDrawList& list_;
  const Typography& type_;
  const Theme theme_;  ///< a copy: a theme is often made where the canvas is
  Report* report_;
  const char* panel_ = "";
};

}  // namespace hushmill::dashboard
