// A measured frequency response as text: Hz, real, imaginary, in m/N, one line of the spectrum a line, with a heading.
#pragma once

#include <filesystem>
#include <vector>

#include "cutting/mode_fit.hpp"

namespace hushmill::setup {

/// Lines that begin with # and one heading of words are passed over; commas, semicolons, tabs or spaces part the
/// numbers. Throws BadSetup naming the file, the line and what would be right.
std::vector<cutting::ResponsePoint> load_response(const std::filesystem::path& file);

}  // namespace hushmill::setup
