#include "screen_pixels.hpp"

#include <array>
#include <cstdint>
#include <fstream>
#include <stdexcept>

namespace hushmill::test {
namespace {

constexpr std::size_t kVersion = 1, kWidth = 4, kHeight = 5, kByteOrder = 7, kBitsPerPixel = 11, kBytesPerLine = 12, kColours = 19;
constexpr std::uint32_t kColourBytes = 12;

}  // namespace

dashboard::Rgb screen_pixel(const std::filesystem::path& pixels_folder, int x, int y) {
  std::ifstream in(pixels_folder / "Xvfb_screen0", std::ios::binary);
  std::array<unsigned char, 100> bytes{};
  in.read(reinterpret_cast<char*>(bytes.data()), bytes.size());
  std::array<std::uint32_t, 25> header{};
  for (std::size_t i = 0; i < header.size(); ++i)
    for (std::size_t k = 0; k < 4; ++k) header[i] = header[i] << 8U | bytes[4 * i + k];
  const bool known = in && header[kVersion] == 7 && header[kBitsPerPixel] == 32 && header[kByteOrder] == 0;
  if (!known) throw std::runtime_error("the screen's pixels cannot be read");
  if (x < 0 || y < 0 || x >= static_cast<int>(header[kWidth]) || y >= static_cast<int>(header[kHeight]))
    throw std::runtime_error("no such place on the screen");
  const std::uint32_t at = header[0] + header[kColours] * kColourBytes +
                           static_cast<std::uint32_t>(y) * header[kBytesPerLine] + static_cast<std::uint32_t>(x) * 4;
  std::array<unsigned char, 4> pixel{};
  in.seekg(at);
  in.read(reinterpret_cast<char*>(pixel.data()), pixel.size());
  if (!in) throw std::runtime_error("the screen's pixels break off");
  return {pixel[2], pixel[1], pixel[0]};
}

}  // namespace hushmill::test
