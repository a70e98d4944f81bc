#include "dashboard/font_files.hpp"

#include <array>
#include <cstdint>
#include <fstream>
#include <optional>
#include <string_view>

#include "platform/platform.hpp"

namespace hushmill::dashboard {
namespace {

namespace fs = std::filesystem;

struct Family {
  const char* name;
  const char* regular;  // file name without its ending
  const char* bold;
};

constexpr std::array kFamilies{
    Family{"B612", "B612-Regular", "B612-Bold"},
    Family{"DejaVu Sans", "DejaVuSans", "DejaVuSans-Bold"},
    Family{"Liberation Sans", "LiberationSans-Regular", "LiberationSans-Bold"},
    Family{"Arial", "arial", "arialbd"},
};

class Bytes {
 public:
  explicit Bytes(const fs::path& file) {
    std::error_code error;
    const auto size = fs::file_size(file, error);
    if (error) return;
    bytes_.resize(size);
    std::ifstream in(file, std::ios::binary);
    if (!in.read(bytes_.data(), static_cast<std::streamsize>(size))) bytes_.clear();
  }
  unsigned byte(std::size_t at) const { return at < bytes_.size() ? static_cast<unsigned char>(bytes_[at]) : 0U; }
  unsigned u16(std::size_t at) const { return byte(at) << 8U | byte(at + 1); }
  std::uint32_t u32(std::size_t at) const { return u16(at) << 16U | u16(at + 2); }
  int s16(std::size_t at) const { return static_cast<std::int16_t>(u16(at)); }

  std::optional<std::size_t> table(std::string_view tag) const {
    const std::size_t count = u16(4);
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t entry = 12 + 16 * i;
      if (entry + 16 > bytes_.size()) break;
      if (std::string_view(bytes_.data() + entry, 4) == tag) return u32(entry + 8);
    }
    return std::nullopt;
  }

 private:
  std::vector<char> bytes_;
};

fs::path look_for(const char* stem, std::span<const fs::path> folders) {
  for (const fs::path& folder : folders) {
    std::error_code error;
    fs::recursive_directory_iterator walk(folder, fs::directory_options::skip_permission_denied, error), end;
    while (!error && walk != end) {
      const fs::path& file = walk->path();
      if (file.stem() == stem && (file.extension() == ".otf" || file.extension() == ".ttf")) return file;
      walk.increment(error);
    }
  }
  return {};
}

}  // namespace

std::vector<fs::path> usual_font_folders() { return platform::font_folders(); }

FontFiles find_fonts(std::span<const fs::path> folders) {
  for (const Family& family : kFamilies) {
    FontFiles files{look_for(family.regular, folders), look_for(family.bold, folders), family.name};
    if (!files.regular.empty() && !files.bold.empty()) return files;
  }
  throw FontMissing(
      "No font for the screen: neither B612 nor another plain sans was found. Install the B612 fonts (Debian: "
      "fonts-b612).");
}

FontProportions read_proportions(const fs::path& file) {
  const Bytes bytes(file);
  const auto head = bytes.table("head"), hhea = bytes.table("hhea"), os2 = bytes.table("OS/2");
  const double em = head ? bytes.u16(*head + 18) : 0;
  if (!head || !hhea || em <= 0) throw FontMissing(file.string() + " is not an OpenType or TrueType font.");
  FontProportions proportions;
  proportions.ascent = bytes.s16(*hhea + 4) / em;
  proportions.descent = -bytes.s16(*hhea + 6) / em;
  // sCapHeight came with version 2 of the table; before that, seven tenths is the common figure.
  const bool tells = os2 && bytes.u16(*os2) >= 2 && bytes.s16(*os2 + 88) > 0;
  proportions.capital = tells ? bytes.s16(*os2 + 88) / em : 0.7;
  return proportions;
}

}  // namespace hushmill::dashboard
