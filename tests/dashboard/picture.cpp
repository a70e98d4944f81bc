#include "picture.hpp"

#include <png.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <stdexcept>

namespace hushmill::test {

Picture::Picture(const std::string& file) {
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  if (png_image_begin_read_from_file(&image, file.c_str()) == 0) throw std::runtime_error("cannot read " + file);
  image.format = PNG_FORMAT_RGBA;
  rgba_.resize(PNG_IMAGE_SIZE(image));
  if (png_image_finish_read(&image, nullptr, rgba_.data(), 0, nullptr) == 0)
    throw std::runtime_error("cannot read " + file);
  width_ = static_cast<int>(image.width);
  height_ = static_cast<int>(image.height);
}

dashboard::Rgb Picture::at(float x, float y) const {
  const int column = std::clamp(static_cast<int>(std::floor(x)), 0, width_ - 1);
  const int row = std::clamp(static_cast<int>(std::floor(y)), 0, height_ - 1);
  const auto first =
      4 * (static_cast<std::size_t>(row) * static_cast<std::size_t>(width_) + static_cast<std::size_t>(column));
  return {rgba_[first], rgba_[first + 1], rgba_[first + 2]};
}

int Picture::count(float x, float y, float w, float h, dashboard::Rgb colour, int slack) const {
  int found = 0;
  for (float py = y; py < y + h; ++py) {
    for (float px = x; px < x + w; ++px) found += alike(at(px, py), colour, slack) ? 1 : 0;
  }
  return found;
}

bool alike(dashboard::Rgb a, dashboard::Rgb b, int slack) {
  return std::abs(a.r - b.r) <= slack && std::abs(a.g - b.g) <= slack && std::abs(a.b - b.b) <= slack;
}

}  // namespace hushmill::test
