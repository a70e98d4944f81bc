#include "dashboard/png_file.hpp"

#include <png.h>

#include <cstring>
#include <stdexcept>

namespace hushmill::dashboard {

void write_png(const std::string& file, int width_px, int height_px, std::span<const std::uint8_t> rgba) {
  if (width_px < 1 || height_px < 1 ||
      rgba.size() != static_cast<std::size_t>(width_px) * static_cast<std::size_t>(height_px) * 4) {
    throw std::invalid_argument("picture of " + std::to_string(width_px) + " x " + std::to_string(height_px) + " has " +
                                std::to_string(rgba.size()) + " bytes; width x height x 4 would be right");
  }
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  image.width = static_cast<png_uint_32>(width_px);
  image.height = static_cast<png_uint_32>(height_px);
  image.format = PNG_FORMAT_RGBA;
  if (png_image_write_to_file(&image, file.c_str(), 0, rgba.data(), 0, nullptr) == 0) {
    throw std::runtime_error("Cannot write the picture " + file + ": " + image.message);
  }
}

}  // namespace hushmill::dashboard
