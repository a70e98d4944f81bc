// A sheet to draw on that becomes a PNG or SVG file. The only home of Cairo.
//
// Lengths are in points of the sheet, from the upper left corner. `finish` throws std::runtime_error when the file
// cannot be written. One thread.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace hushmill::picture {

struct Colour {
  double red = 0, green = 0, blue = 0, opacity = 1;
};

struct Spot {
  double x = 0, y = 0;
};

enum class Align { left, centre, right };

/// Throws std::invalid_argument unless the name ends in .png or .svg.
void check_ending(const std::filesystem::path& file);

class Canvas {
 public:
  /// By the file's ending: .png or .svg; throws std::invalid_argument naming it if it is another. `scale`: pixels a
  /// point, PNG.
  Canvas(const std::filesystem::path& file, double width, double height, double scale = 2);
  /// An SVG that svg() hands out after finish().
  struct InMemory {};
  Canvas(InMemory, double width, double height);
  /// A sheet that is never written, to measure words on.
  Canvas(double width, double height);
  ~Canvas();
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;

  double width() const noexcept;
  double height() const noexcept;
  void fill_rectangle(Spot corner, double width, double height, Colour colour);
  void line(const std::vector<Spot>& spots, double thickness, Colour colour, bool dashed = false);
  void fill(const std::vector<Spot>& outline, Colour colour);
  void disc(Spot centre, double radius, Colour colour);
  void cross(Spot centre, double radius, double thickness, Colour colour);
  void text(Spot base, const std::string& words, double size, Colour colour, Align align = Align::left,
            bool upright = false);
  /// `columns` by `rows` shades in lines from the top, 0 white to 255 black, stretched over the rectangle.
  void shades(Spot corner, double width, double height, int columns, int rows, const std::vector<unsigned char>& darkness);
  /// How wide these words will be.
  double text_width(const std::string& words, double size);

  /// Writes the file. Afterwards nothing may be drawn.
  void finish();
  const std::string& svg() const noexcept;

 private:
  friend class Pages;
  struct Parts;
  explicit Canvas(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::picture
