// A picture read back from a PNG file, for looking at pixels in tests.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "dashboard/theme.hpp"

namespace hushmill::test {

class Picture {
 public:
  /// Throws std::runtime_error when the file cannot be read.
  explicit Picture(const std::string& file);
  int width() const { return width_; }
  int height() const { return height_; }
  dashboard::Rgb at(float x, float y) const;
  /// How many pixels of a rectangle have this colour, give or take `slack` in each part.
  int count(float x, float y, float w, float h, dashboard::Rgb colour, int slack = 12) const;

 private:
  int width_ = 0;
  int height_ = 0;
  std::vector<std::uint8_t> rgba_;
};

bool alike(dashboard::Rgb a, dashboard::Rgb b, int slack = 12);

}  // namespace hushmill::test
