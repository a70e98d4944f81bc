// Writes a picture as a PNG file. The only file that sees libpng.
#pragma once

#include <cstdint>
#include <span>
#include <string>

namespace hushmill::dashboard {

/// 8-bit RGBA, top row first, width · height · 4 bytes. Throws std::runtime_error naming the file when it cannot be
/// written, std::invalid_argument when the size does not fit the pixels.
void write_png(const std::string& file, int width_px, int height_px, std::span<const std::uint8_t> rgba);

}  // namespace hushmill::dashboard
