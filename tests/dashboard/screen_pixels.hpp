// The pixels of an Xvfb screen, read from the file that it keeps (the X window dump format, version 7, of X11's XWDFile.h).
#pragma once

#include <filesystem>

#include "dashboard/theme.hpp"

namespace hushmill::test {

/// Colour at a place of the screen, from the folder that was given to OwnDisplay. Throws std::runtime_error when there is
/// no such picture.
dashboard::Rgb screen_pixel(const std::filesystem::path& pixels_folder, int x, int y);

}  // namespace hushmill::test
