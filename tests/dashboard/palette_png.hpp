// Writes a picture again with 256 colours at most, which takes a fifth of the room. For pictures that are kept.
#pragma once

#include <string>

namespace hushmill::test {

/// Throws std::runtime_error when the file cannot be read or written.
void to_palette(const std::string& png_file);

}  // namespace hushmill::test
