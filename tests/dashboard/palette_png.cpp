#include "palette_png.hpp"

#include <png.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <stdexcept>
#include <unordered_map>
#include <vector>

namespace hushmill::test {
namespace {

constexpr std::size_t kColours = 256;

std::uint32_t packed(const std::uint8_t* p) { return static_cast<std::uint32_t>(p[0]) << 16U | static_cast<std::uint32_t>(p[1]) << 8U | p[2]; }
int part(std::uint32_t colour, unsigned shift) { return static_cast<int>(colour >> shift & 0xFFU); }

int distance(std::uint32_t a, std::uint32_t b) {
  const int r = part(a, 16) - part(b, 16), g = part(a, 8) - part(b, 8), blue = part(a, 0) - part(b, 0);
  return 3 * r * r + 4 * g * g + 2 * blue * blue;
}

}  // namespace

void to_palette(const std::string& png_file) {
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  if (png_image_begin_read_from_file(&image, png_file.c_str()) == 0) throw std::runtime_error("cannot read " + png_file);
  image.format = PNG_FORMAT_RGB;
  std::vector<std::uint8_t> rgb(PNG_IMAGE_SIZE(image));
  if (png_image_finish_read(&image, nullptr, rgb.data(), 0, nullptr) == 0) throw std::runtime_error("cannot read " + png_file);

  std::unordered_map<std::uint32_t, std::size_t> counts;
  for (std::size_t at = 0; at < rgb.size(); at += 3) ++counts[packed(&rgb[at])];
  std::vector<std::pair<std::size_t, std::uint32_t>> often;
  for (const auto& [colour, count] : counts) often.emplace_back(count, colour);
  std::sort(often.rbegin(), often.rend());
  // The most frequent ones first, but none that a chosen one is already close to: edges of letters need few greys.
  std::vector<std::uint32_t> palette;
  for (int closeness = 300; closeness >= 0 && palette.size() < kColours; closeness = closeness > 20 ? closeness / 3 : closeness - 20) {
    for (const auto& [count, colour] : often) {
      if (palette.size() == kColours) break;
      const bool close = std::any_of(palette.begin(), palette.end(), [&](std::uint32_t have) { return distance(have, colour) <= closeness; });
      if (!close) palette.push_back(colour);
    }
  }
  std::unordered_map<std::uint32_t, std::uint8_t> nearest;
  for (const auto& [count, colour] : often) {
    const auto best = std::min_element(palette.begin(), palette.end(), [&](std::uint32_t a, std::uint32_t b) { return distance(a, colour) < distance(b, colour); });
    nearest[colour] = static_cast<std::uint8_t>(best - palette.begin());
  }
  std::vector<std::uint8_t> indices(rgb.size() / 3);
  for (std::size_t i = 0; i < indices.size(); ++i) indices[i] = nearest[packed(&rgb[3 * i])];
  std::vector<std::uint8_t> map;
  for (const std::uint32_t colour : palette)
    for (const unsigned shift : {16U, 8U, 0U}) map.push_back(static_cast<std::uint8_t>(colour >> shift & 0xFFU));

  png_image out;
  std::memset(&out, 0, sizeof out);
  out.version = PNG_IMAGE_VERSION;
  out.width = image.width;
  out.height = image.height;
  out.format = PNG_FORMAT_RGB_COLORMAP;
  out.colormap_entries = static_cast<png_uint_32>(palette.size());
  if (png_image_write_to_file(&out, png_file.c_str(), 0, indices.data(), 0, map.data()) == 0)
    throw std::runtime_error("cannot write " + png_file);
}

}  // namespace hushmill::test
