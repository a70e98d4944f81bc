// What a file's name says of its kind.
#pragma once

#include <filesystem>
#include <string>

namespace hushmill::text {

/// The ending with its dot in small letters, ".wav" of "Cut.WAV"; empty if there is none.
std::string file_ending(const std::filesystem::path& file);

}  // namespace hushmill::text
