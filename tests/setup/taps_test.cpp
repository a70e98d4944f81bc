// Modes from tap tests kept in a set-up file. Invented data.
#include "setup/taps.hpp"

#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "support/catch.hpp"

using namespace hushmill;
using setup::TappedOn;
using test::Contains;
using test::WithinRel;

namespace {
const std::filesystem::path kTapsConfig = std::filesystem::path(HUSHMILL_SOURCE_DIR) / "config";

class Folder {
 public:
  Folder() : path_(std::filesystem::temp_directory_path() / ("hushmill-taps-" + std::to_string(std::random_device{}()))) {
    std::filesystem::copy(kTapsConfig, path_, std::filesystem::copy_options::recursive);
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::filesystem::path operator/(const char* name) const { return path_ / name; }

 private:
  std::filesystem::path path_;
};

std::string text_of(const std::filesystem::path& file) {
  std::ostringstream read;
  read << std::ifstream(file).rdbuf();
  return read.str();
}
}  // namespace

TEST_CASE("what is kept comes back, in the set-up and alone, and the set-up stays what it was") {
  const Folder folder;
  const auto file = folder / "bracket-wall.toml";
  const auto before = text_of(file);
  setup::save_taps(file, TappedOn::tool, {{TappedOn::tool, 1180.25, 0.0181, 1.5, 0.0004, 4}, {TappedOn::tool, 2640, 0.011, 2, 0.0003, 3}});
  setup::save_taps(file, TappedOn::part, {{TappedOn::part, 733.5, 0.02, 0.5, 0.001, 5}});
  CHECK(text_of(file).rfind(before, 0) == 0);
  const auto kept = setup::load_setup(file).taps;
  REQUIRE(kept.size() == 3);
  CHECK(kept[0].on == TappedOn::tool);
  CHECK_THAT(kept[0].natural_hz, WithinRel(1180.25, 1e-6));
  CHECK_THAT(kept[0].damping_ratio_spread, WithinRel(0.0004, 1e-6));
  CHECK(kept[0].taps_agreeing == 4);
  CHECK(kept[2].on == TappedOn::part);
  CHECK(setup::load_taps(file).size() == 3);
}

TEST_CASE("new taps of a thing replace its old ones and no others; a new file is made") {
  const Folder folder;
  const auto file = folder / "new.toml";
  setup::save_taps(file, TappedOn::tool, {{TappedOn::tool, 1000, 0.01, 0, 0, 3}, {TappedOn::tool, 2000, 0.01, 0, 0, 3}});
  setup::save_taps(file, TappedOn::machine, {{TappedOn::machine, 80, 0.04, 0, 0, 3}});
  setup::save_taps(file, TappedOn::tool, {{TappedOn::tool, 1010, 0.012, 0, 0, 3}});
  const auto kept = setup::load_taps(file);
  REQUIRE(kept.size() == 2);
  CHECK(kept[0].on == TappedOn::machine);
  CHECK_THAT(kept[1].natural_hz, WithinRel(1010.0, 1e-9));
}

TEST_CASE("a wrong table of taps is refused by file, field and value, and the file is left alone") {
  const Folder folder;
  const auto file = folder / "wrong.toml";
  std::ofstream(file) << "[[taps]]\non = \"spoon\"\nnatural_hz = 1000\ndamping_ratio = 0.01\n";
  const auto before = text_of(file);
  CHECK_THROWS_WITH(setup::save_taps(file, TappedOn::tool, {}), Contains("wrong.toml") && Contains("spoon"));
  CHECK(text_of(file) == before);
  std::ofstream(file) << "[[taps]]\non = \"tool\"\nnatural_hz = 1000\ndamping_ratio = 0.01\ncolour = 3\n";
  CHECK_THROWS_WITH(setup::load_taps(file), Contains("colour"));
}
