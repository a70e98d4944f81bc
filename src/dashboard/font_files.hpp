// Finds the screen's font among the installed ones and reads what its file says of its own proportions.
//
// B612 is a font made for instrument screens. Where it is missing, another plain sans is taken; where there is none at
// all, FontMissing says what to install. No font service is asked: only the usual folders are searched.
#pragma once

#include <filesystem>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

namespace hushmill::dashboard {

struct FontFiles {
  std::filesystem::path regular;
  std::filesystem::path bold;
  std::string family;
};

/// Proportions in parts of the em, from the tables head, hhea and OS/2 (ISO/IEC 14496-22, Open Font Format).
struct FontProportions {
  double ascent = 0;
  double descent = 0;  ///< positive downward
  double capital = 0;  ///< height of capitals
};

class FontMissing : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// Where fonts lie on this system.
std::vector<std::filesystem::path> usual_font_folders();
/// The best family of which both weights are there. Throws FontMissing.
FontFiles find_fonts(std::span<const std::filesystem::path> folders);
/// Throws FontMissing naming the file when it is not a font.
FontProportions read_proportions(const std::filesystem::path& file);

}  // namespace hushmill::dashboard
