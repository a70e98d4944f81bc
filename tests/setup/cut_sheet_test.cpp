// A cut in a file: what is written reads back the same in either unit, and every slip is named with its line.
#include "setup/cut_sheet.hpp"

#include <fstream>
#include <vector>

#include "setup/setup.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using test::WithinRel;

namespace {

setup::CutSheet bracket() {
  setup::CutSheet cut;
  cut.title = "Bracket \"A\", side wall";
  cut.machine = "VMC 2";
  cut.tool = "T3 end mill";
  cut.material = "6082";
  cut.programmed_rpm = 6800;
  cut.override_percent = 90;
  cut.flutes = 4;
  cut.diameter_mm = 12.7;
  cut.radial_mm = 6;
  cut.depth_mm = 1.2;
  cut.feed_mm_min = 1632;
  cut.milling = "climb";
  cut.max_rpm = 12000;
  cut.tool_max_rpm = 18000;
  cut.damping_ratio = 0.024;
  return cut;
}

std::string refusal(const std::filesystem::path& folder, const std::string& text) {
  const auto file = folder / "bad.toml";
  std::ofstream(file, std::ios::binary) << text;
  try {
    setup::load_cut_sheet(file);
  } catch (const setup::BadSetup& bad) {
    const std::string line = bad.what();
    CHECK(line.find('\n') == std::string::npos);
    CHECK(line.starts_with(file.string() + ": "));
    return line.substr(file.string().size() + 2);
  }
  return "taken";
}

}  // namespace

TEST_CASE("a cut that is written down reads back the same, in millimetres and in inches") {
  const test::TemporaryFolder folder;
  for (const auto unit : {setup::LengthUnit::millimetre, setup::LengthUnit::inch}) {
    const auto file = folder / "sub" / setup::file_name_for(bracket().title);
    CHECK(file.filename() == "bracket-a-side-wall.toml");
    setup::save_cut_sheet(bracket(), unit, file);
    const std::string text = setup::cut_sheet_text(bracket(), unit);
    CHECK((text.find("diameter_in = 0.5\n") != std::string::npos) == (unit == setup::LengthUnit::inch));
    const auto again = setup::load_cut_sheet(file);
    CHECK(again.title == bracket().title);
    CHECK(again.tool == "T3 end mill");
    CHECK(again.programmed_rpm == 6800);
    CHECK(again.override_percent == 90);
    CHECK(again.flutes == 4);
    CHECK_THAT(again.diameter_mm.value_or(0), WithinRel(12.7, 1e-9));
    CHECK_THAT(again.feed_mm_min.value_or(0), WithinRel(1632.0, 1e-6));
    CHECK(again.milling == "climb");
    CHECK(again.tool_max_rpm == 18000.0);
    CHECK_FALSE(again.min_rpm);
  }
}

TEST_CASE("an unknown field, a wrong unit, a wrong value and a newer file are named with their lines") {
  const test::TemporaryFolder folder;
  const std::string head = "title = \"x\"\nprogrammed_rpm = 6000\nflutes = 4\n";
  CHECK(refusal(folder.path(), head + "diameter_cm = 1.2\n") ==
        "line 4: diameter_cm is 1.2, in a unit that is not known here; diameter_mm or diameter_in would be right");
  CHECK(refusal(folder.path(), head + "feed_m_min = 2\n") == "line 4: feed_m_min is 2, in a unit that is not known here; feed_mm_min or feed_in_min would be right");
  CHECK(refusal(folder.path(), head + "colour = \"red\"\n").starts_with("line 4: colour, 'red', is not a field here; one of "));
  CHECK(refusal(folder.path(), "title = \"x\"\nprogrammed_rpm = \"fast\"\nflutes = 4\n") ==
        "line 2: programmed_rpm is 'fast'; a number from 10 to 200000 would be right");
  CHECK(refusal(folder.path(), head + "\ndepth_mm = -1\n").starts_with("line 5: depth_mm is -1; a number from "));
  CHECK(refusal(folder.path(), head + "depth_mm = 1\ndepth_in = 0.04\n") == "line 5: depth_in is there beside depth_mm; one of the two would be right");
  CHECK(refusal(folder.path(), "version = 2\n" + head) == "line 1: version is 2, made by a newer Hushmill; 1 or none would be right");
  CHECK(refusal(folder.path(), "title = \"x\"\nflutes = 4\n") == "programmed_rpm is not there; a number from 10 to 200000 would be right");
  CHECK(refusal(folder.path(), "title = \"x\n").starts_with("line 1: "));
  CHECK(refusal(folder.path(), head) == "taken");  // a file without a version is an older one
}

TEST_CASE("a full set-up serves as a cut, with its tool's and machine's limits") {
  const auto cut = setup::load_cut_sheet(std::filesystem::path(HUSHMILL_SOURCE_DIR) / "config" / "bracket-wall.toml");
  CHECK(cut.title == "Bracket, side wall");
  CHECK(cut.flutes == 4);
  CHECK(cut.diameter_mm == 12.0);
  CHECK(cut.programmed_rpm == 6800);
  CHECK_THAT(cut.feed_mm_min.value_or(0), WithinRel(0.06 * 4 * 6800, 1e-12));
  CHECK(cut.tool_max_rpm == 18000.0);
  CHECK(cut.max_rpm == 12000.0);
}

TEST_CASE("whatever a file holds, the complaint about it is one short line") {
  const test::TemporaryFolder folder;
  const std::string long_text(100'000, 'x');
  for (const std::string& text : std::vector<std::string>{std::string("title = \"a\"\nprogrammed_rpm = \"two\\nlines\"\n"), std::string("title = \"a\"\nprogrammed_rpm = 6000\nflutes = 4\n\"odd\\nname\" = 1\n"),
                                  "title = \"a\"\nprogrammed_rpm = \"" + long_text + "\"\n", "title = \"a\"\n[cut]\nstickout_mm = 40\n", "tool = \"" + long_text + "\"\ntitle = \"a\"\n[cut]\nstickout_mm = 40\n"}) {
    const std::string line = refusal(folder.path(), text);
    CAPTURE(line.substr(0, 300));
    CHECK(!line.empty());
    CHECK(line.size() < 600);
    for (const char c : line) REQUIRE(static_cast<unsigned char>(c) >= 0x20);
  }
}

TEST_CASE("a title that no file takes as it is can still be read again") {
  auto cut = bracket();
  cut.title = "side\x7f\nwall";
  const test::TemporaryFolder folder;
  setup::save_cut_sheet(cut, setup::LengthUnit::millimetre, folder / "a.toml");
  CHECK(setup::load_cut_sheet(folder / "a.toml").title == "side  wall");
}
