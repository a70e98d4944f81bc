// Fonts found and measured, pictures written and read back, the report as text.
#include <png.h>

#include <array>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <random>

#include "dashboard/font_files.hpp"
#include "dashboard/png_file.hpp"
#include "dashboard/report_file.hpp"
#include "support/catch.hpp"

using namespace hushmill::dashboard;
using hushmill::test::WithinAbs;
namespace fs = std::filesystem;

namespace {

/// A folder of the test's own, removed at its end.
class OwnFolder {
 public:
  OwnFolder() : path_(fs::temp_directory_path() / ("hushmill-dashboard-" + std::to_string(std::random_device{}()))) {
    fs::create_directories(path_);
  }
  ~OwnFolder() { fs::remove_all(path_); }
  const fs::path& path() const { return path_; }

 private:
  fs::path path_;
};

template <class Act>
std::string complaint(Act act) {
  try {
    act();
  } catch (const std::exception& error) {
    return error.what();
  }
  return {};
}

}  // namespace

TEST_CASE("the installed B612 is found, both weights, and its proportions are sane") {
  const auto folders = usual_font_folders();
  const FontFiles files = find_fonts(folders);
  CHECK(files.family == "B612");
  const FontProportions regular = read_proportions(files.regular);
  CHECK(regular.ascent > regular.capital);
  CHECK(regular.capital > 0.6);
  CHECK(regular.capital < 0.8);
  CHECK(regular.descent > 0.1);
}

TEST_CASE("no font and no font file are said clearly") {
  const OwnFolder folder;
  const std::array folders{folder.path()};
  CHECK_THROWS_AS(find_fonts(folders), FontMissing);
  std::ofstream(folder.path() / "B612-Regular.otf") << "this is no font";
  std::ofstream(folder.path() / "B612-Bold.otf") << "";
  CHECK(find_fonts(folders).family == "B612");
  CHECK_THROWS_AS(read_proportions(folder.path() / "B612-Regular.otf"), FontMissing);
  CHECK_THROWS_AS(read_proportions(folder.path() / "B612-Bold.otf"), FontMissing);
  CHECK_THROWS_AS(read_proportions(folder.path() / "none.otf"), FontMissing);
}

TEST_CASE("a picture comes back pixel for pixel") {
  const OwnFolder folder;
  const std::string file = (folder.path() / "small.png").string();
  std::vector<std::uint8_t> rgba;
  for (int i = 0; i < 3 * 2; ++i)
    rgba.insert(rgba.end(), {static_cast<std::uint8_t>(40 * i), 7, static_cast<std::uint8_t>(255 - i), 255});
  write_png(file, 3, 2, rgba);
  png_image image;
  std::memset(&image, 0, sizeof image);
  image.version = PNG_IMAGE_VERSION;
  REQUIRE(png_image_begin_read_from_file(&image, file.c_str()) != 0);
  CHECK(image.width == 3);
  CHECK(image.height == 2);
  image.format = PNG_FORMAT_RGBA;
  std::vector<std::uint8_t> back(PNG_IMAGE_SIZE(image));
  REQUIRE(png_image_finish_read(&image, nullptr, back.data(), 0, nullptr) != 0);
  CHECK(back == rgba);
  CHECK(complaint([&] { write_png((folder.path() / "no" / "such.png").string(), 3, 2, rgba); }).find("such.png") !=
        std::string::npos);
  CHECK_THROWS_AS(write_png(file, 3, 3, rgba), std::invalid_argument);
}

TEST_CASE("the report names kind, panel, place and words") {
  Report report;
  report.texts.push_back({"Verdict", "CHATTER", {10, 20, 300, 72}, {10, 20, 400, 80}, 100, false});
  report.marks.push_back({"Spectrum", "chatter line", 812.5F, 400});
  CHECK(report_text(report, 1280, 720) ==
        "window\t1280\t720\n"
        "text\tVerdict\t10.0\t20.0\t300.0\t72.0\t100.0\twhole\tCHATTER\n"
        "mark\tSpectrum\t812.5\t400.0\tchatter line\n");
  CHECK_THROWS_WITH(write_report("/no/such/folder/report.txt", report, 1, 1),
                    hushmill::test::Contains("/no/such/folder/report.txt"));
}
