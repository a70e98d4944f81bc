#include "text/file_ending.hpp"

#include <algorithm>
#include <cctype>

namespace hushmill::text {

std::string file_ending(const std::filesystem::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return ending;
}

}  // namespace hushmill::text
