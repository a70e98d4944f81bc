#include "setup/setup.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <string>

#include "cutting/semi_discretization.hpp"
#include "setup/response_file.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::WithinRel;

namespace {

const std::filesystem::path kConfig = std::filesystem::path(HUSHMILL_SOURCE_DIR) / "config";

/// A copy of the examples in which one text was changed.
class Changed {
 public:
  Changed(const std::string& file, const std::string& from, const std::string& to)
      : folder_(std::filesystem::temp_directory_path() / ("hushmill-setup-" + std::to_string(std::random_device{}()))) {
    std::filesystem::copy(kConfig, folder_, std::filesystem::copy_options::recursive);
    std::ostringstream whole;
    whole << std::ifstream(folder_ / file).rdbuf();
    std::string text = whole.str();
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    std::ofstream(folder_ / file) << text;
  }
  ~Changed() { std::filesystem::remove_all(folder_); }
  Changed(const Changed&) = delete;
  Changed& operator=(const Changed&) = delete;

  /// Every line of numbers of a response becomes what `line` makes of it.
  template <typename Line>
  void rewrite(const std::string& file, const Line& line) const {
    const auto points = setup::load_response(folder_ / file);
    std::ofstream out(folder_ / file);
    for (const auto& point : points)
      out << line(point.hz, point.response_m_n.real(), point.response_m_n.imag()) << '\n';
  }
  const std::filesystem::path& folder() const { return folder_; }
  setup::Setup load(const std::string& file = "bracket-wall.toml") const { return setup::load_setup(folder_ / file); }
  /// What the complaint says, without the folder.
  std::string complaint(const std::string& file = "bracket-wall.toml") const {
    try {
      load(file);
    } catch (const setup::BadSetup& error) {
      std::string text = error.what();
      const std::size_t folder = folder_.string().size() + 1;
      if (text.starts_with(folder_.string())) text.erase(0, folder);
      std::replace(text.begin(), text.end(), '\\', '/');  // as Windows parts folders
      // Which line it is has a test of its own (cut_sheet_test.cpp).
      const auto line = text.find(": line ");
      const auto after = line == std::string::npos ? line : text.find(": ", line + 2);
      if (after != std::string::npos && text.ends_with("would be right")) text.erase(line, after - line);
      return text;
    }
    return "no complaint";
  }

 private:
  std::filesystem::path folder_;
};

double limit_mm(const setup::Setup& setup) {
  return cutting::SemiDiscretization(setup.model, setup.radial_mm, setup.milling)
      .limit(setup.spindle_rpm, 40, 0.1)
      .depth_mm;
}

}  // namespace

TEST_CASE("Every set-up that comes along loads, says where its numbers come from, and is stable as it stands") {
  int loaded = 0;
  for (const auto& entry : std::filesystem::directory_iterator(kConfig)) {
    if (entry.path().extension() != ".toml") continue;
    INFO(entry.path().filename());
    const setup::Setup setup = setup::load_setup(entry.path());
    ++loaded;
    CHECK_FALSE(setup.title.empty());
    CHECK_FALSE(setup.notes.empty());
    CHECK(setup.max_rpm == 12000);
    CHECK(limit_mm(setup) > setup.depth_mm);
  }
  CHECK(loaded >= 4);
  for (const auto& entry : std::filesystem::directory_iterator(kConfig / "materials")) {
    const Changed other("bracket-wall.toml", "aluminium-7075.toml", entry.path().filename().string());
    CHECK(other.load().surface_from_m_min.has_value());
  }
}

TEST_CASE("A set-up holds what its files say") {
  const setup::Setup setup = setup::load_setup(kConfig / "bracket-wall.toml");
  CHECK(setup.tool == "End mill 12 mm, 4 flutes, carbide");
  CHECK(setup.model.cutter.runout_um == std::vector<double>{4, -2, -3, 1});
  CHECK(setup.model.force.tangential_n_mm2 == 600.46);
  REQUIRE(setup.model.structure.tool_x.size() == 2);
  CHECK(setup.model.structure.tool_x[1].natural_hz == 2650);
  CHECK(setup.milling == cutting::Milling::climb);
  CHECK(setup.tool_max_rpm == 18000);
  CHECK(setup.surface_to_m_min == 3000);
}

TEST_CASE("A measured response is fitted to the modes that it was made of") {
  const setup::Setup setup = setup::load_setup(kConfig / "rail-slot.toml");
  REQUIRE(setup.model.structure.tool_x.size() == 2);
  CHECK_THAT(setup.model.structure.tool_x[0].natural_hz, WithinRel(870, 0.002));
  CHECK_THAT(setup.model.structure.tool_x[0].damping_ratio, WithinRel(0.026, 0.05));
  CHECK_THAT(setup.model.structure.tool_x[0].stiffness_n_m, WithinRel(1.4e7, 0.05));
}

TEST_CASE("A tap and a known limit make a chart that has that limit") {
  setup::Setup setup = setup::load_setup(kConfig / "tray-pocket.toml");
  setup.model.structure.part_y.clear();  // the known limit was cut in a stiff part
  setup.radial_mm = 2.0;
  setup.spindle_rpm = 7600;
  CHECK_THAT(limit_mm(setup), WithinRel(1.4, 0.01));
}

TEST_CASE("A shorter stick-out and a better hold raise the limit where speed does not") {
  const setup::Setup as_it_is = setup::load_setup(kConfig / "bracket-wall.toml");
  const setup::Setup shorter = Changed("bracket-wall.toml", "stickout_mm = 48", "stickout_mm = 36").load();
  CHECK(shorter.model.structure.tool_x[0].natural_hz > as_it_is.model.structure.tool_x[0].natural_hz);
  const auto lowest_mm = [](const setup::Setup& setup) {
    double least = 1e9;
    for (double rpm = 4000; rpm <= 12000; rpm += 400) {
      setup::Setup at = setup;
      at.spindle_rpm = rpm;
      least = std::min(least, limit_mm(at));
    }
    return least;
  };
  CHECK(lowest_mm(shorter) > 1.2 * lowest_mm(as_it_is));

  // A wall as weak as this is what chatters; a support against it, and the tool is again.
  const auto wall = [](const std::string& file, const std::string& from, const std::string& to) {
    setup::Setup setup = Changed(file, from, to).load("tray-pocket.toml");
    setup.radial_mm = 5;
    REQUIRE(setup.model.structure.part_y.size() == 1);
    return setup;
  };
  const std::string hold = "holds/tall-wall.toml";
  const setup::Setup weak = wall(hold, "stiffness_n_m = 4.5e7", "stiffness_n_m = 3.0e5");
  const setup::Setup propped = wall(hold, "support_n_m = 0 ", "support_n_m = 9.0e7 ");
  CHECK_THAT(propped.model.structure.part_y[0].stiffness_n_m, WithinRel(1.35e8, 1e-9));
  CHECK(lowest_mm(propped) > 1.2 * lowest_mm(weak));
}

TEST_CASE("Each slip of the pen gets one line with file, field, value and what would be right") {
  const std::string tool = "tools/endmill-12-4.toml";
  CHECK(Changed(tool, "flutes = 4", "flutes = 0").complaint() ==
        tool + ": flutes is 0; a number from 1 to 64 would be right");
  CHECK(Changed(tool, "flutes = 4", "flutes = 3.5").complaint() ==
        tool + ": flutes is 3.5; a whole number would be right");
  CHECK(Changed(tool, "flutes = 4", "flutes = \"four\"").complaint() ==
        tool + ": flutes is 'four'; a number from 1 to 64 would be right");
  CHECK(Changed(tool, "helix_deg = 35", "helix = 35").complaint() ==
        tool + ": helix_deg is not there; a number from 0 to 75 would be right");
  CHECK(Changed(tool, "max_rpm = 18000", "top_rpm = 18000")
            .complaint()
            .starts_with(tool + ": top_rpm, 18000, is not a field here; one of "));
  CHECK(Changed(tool, "damping_ratio = 0.030", "damping_ratio = 3.0").complaint() ==
        tool + ": tip.x[1].damping_ratio is 3; a number from 1e-05 to 0.5 would be right");
  CHECK(Changed(tool, "runout_um = [4, -2, -3, 1]", "runout_um = [4, -2]").complaint() ==
        tool + ": runout_um is 2 values long; one value a flute would be right");
  CHECK(Changed(tool, "natural_hz = 1180", "natural_hz = nan").complaint() ==
        tool + ": tip.x[0].natural_hz is nan; a number from 1 to 20000 would be right");
  CHECK(Changed("bracket-wall.toml", "\"climb\"", "\"down\"").complaint() ==
        "bracket-wall.toml: cut.milling is 'down'; climb or conventional would be right");
  CHECK(Changed("bracket-wall.toml", "tools/endmill-12-4.toml", "tools/none.toml").complaint() ==
        "bracket-wall.toml: tool is 'tools/none.toml'; a file, its path relative to this one, would be right");
  CHECK(Changed("bracket-wall.toml", "spindle_rpm = 6800", "spindle_rpm = 16800").complaint() ==
        "bracket-wall.toml: cut.spindle_rpm is 16800; a number from 100 to 12000 would be right");
  CHECK(Changed("bracket-wall.toml", "[cut]", "[cut").complaint().ends_with("; a set-up file in TOML, as those in config, would be right"));
  CHECK(Changed("responses/endmill-16-x.csv", "\n300,", "\n300;oops,")
            .complaint("rail-slot.toml")
            .starts_with("responses/endmill-16-x.csv: line 3 is '300;oops,"));
  CHECK(Changed("materials/aluminium-7075.toml", "source = ", "origin = ").complaint() ==
        "materials/aluminium-7075.toml: source is not there; a text in quotes would be right");
  try {
    setup::load_setup(kConfig / "nothing.toml");
    FAIL("no complaint");
  } catch (const setup::BadSetup& error) {
    CHECK(std::string(error.what()).ends_with("nothing.toml: no such file; a set-up file would be right"));
  }
}

TEST_CASE("Fields in tables within a file, too, are named with their lines, and another unit as such") {
  const auto said = [](const std::string& file, const std::string& from, const std::string& to) {
    try {
      Changed(file, from, to).load("bracket-wall.toml");
    } catch (const setup::BadSetup& error) {
      return std::string(error.what());
    }
    return std::string("no complaint");
  };
  for (const auto& [file, from, to] : {std::tuple{"bracket-wall.toml", "\"climb\"", "\"down\""},
                                       {"bracket-wall.toml", "spindle_rpm = 6800", "spindle_speed = 6800"},
                                       {"tools/endmill-12-4.toml", "damping_ratio = 0.030", "damping_ratio = 3.0"},
                                       {"tools/endmill-12-4.toml", "runout_um = [4, -2, -3, 1]", "runout_um = [4, -2]"}}) {
    CAPTURE(said(file, from, to));
    CHECK(said(file, from, to).find(": line ") != std::string::npos);
  }
  const auto slip = said("bracket-wall.toml", "spindle_rpm = 6800", "spindel_rpm = 6800");
  CAPTURE(slip);
  CHECK(slip.find(": line ") != std::string::npos);
  CHECK(slip.ends_with("spindel_rpm, 6800, is not a field here; spindle_rpm, which is missing, would be right"));
  const auto inches = said("bracket-wall.toml", "depth_mm = ", "depth_in = ");
  CAPTURE(inches);
  CHECK(inches.find(": line ") != std::string::npos);
  CHECK(inches.find("cut.depth_in is ") != std::string::npos);
  CHECK(inches.ends_with("in a unit that is not known here; depth_mm would be right"));
}

TEST_CASE("A stick-out that the tool does not have and surface speeds the wrong way round are refused") {
  CHECK(Changed("bracket-wall.toml", "stickout_mm = 48", "stickout_mm = 20").complaint() ==
        "bracket-wall.toml: cut.stickout_mm is 20; 26 (the flutes stay out of the holder) to 180 (15 shank diameters) "
        "would be right");
  CHECK(Changed("tools/endmill-12-4.toml", "measured_at_mm = 48", "measured_at_mm = 400").complaint() ==
        "tools/endmill-12-4.toml: tip.measured_at_mm is 400; 26 (the flutes stay out of the holder) to 180 (15 shank "
        "diameters) would be right");
  CHECK(Changed("materials/aluminium-7075.toml", "surface_from_m_min = 300", "surface_from_m_min = 4000").complaint() ==
        "materials/aluminium-7075.toml: surface_to_m_min is 3000; a number from 4000 to 20000 would be right");
}

TEST_CASE(
    "A word that is not there is answered with the words there are, and a table with how its heading is written") {
  CHECK(Changed("bracket-wall.toml", "milling = \"climb\"", "").complaint() ==
        "bracket-wall.toml: cut.milling is not there; climb or conventional would be right");
  CHECK(Changed("holds/tall-fin.toml", "[[part_y]]", "[part_y]").complaint("fin-wall.toml") ==
        "holds/tall-fin.toml: part_y is a table; tables headed [[part_y]] would be right");
}

TEST_CASE("A set-up whose name and folder are not English words is read like any other") {
  const Changed other("bracket-wall.toml", "tools/endmill-12-4.toml", "fräser/schaft Ø12.toml");
  const auto tools = other.folder() / std::filesystem::path(u8"fräser");
  std::filesystem::rename(other.folder() / "tools", tools);
  std::filesystem::rename(tools / "endmill-12-4.toml", tools / std::filesystem::path(u8"schaft Ø12.toml"));
  const auto named = other.folder() / std::filesystem::path(u8"Träger µ.toml");
  std::filesystem::rename(other.folder() / "bracket-wall.toml", named);
  const setup::Setup plain = setup::load_setup(kConfig / "bracket-wall.toml");
  CHECK(setup::load_setup(named).spindle_rpm == plain.spindle_rpm);
  CHECK(limit_mm(setup::load_setup(named)) == limit_mm(plain));
}

TEST_CASE("A tool, hold, machine or material in place of a set-up is said to be one") {
  const std::filesystem::path config = std::filesystem::path(HUSHMILL_SOURCE_DIR) / "config";
  for (const char* part : {"tools/endmill-12-4.toml", "holds/tall-fin.toml", "machines/forty-taper.toml", "materials/steel-low-carbon.toml"}) {
    INFO(part);
    CHECK_THROWS_WITH(setup::load_setup(config / part), test::Contains("is a part of a set-up; the set-up that names it"));
  }
}

TEST_CASE("A response in another unit is refused at its own file, not passed on as a very weak tool") {
  const std::string file = "responses/endmill-16-x.csv";
  const Changed other(file, "hz,real_m_n,imaginary_m_n", "hz,real,imaginary");  // a copy to write in
  CHECK(other.complaint("rail-slot.toml") == "no complaint");
  other.rewrite(file, [](double hz, double real, double imaginary) {
    std::ostringstream line;
    line << hz << ',' << 1e6 * real << ',' << 1e6 * imaginary;  // in µm/N
    return line.str();
  });
  const std::string said = other.complaint("rail-slot.toml");
  INFO(said);
  CHECK(said.starts_with(file + ": the mode fitted along x is "));
  CHECK(said.ends_with("in m/N, its imaginary part negative at a peak, would be right"));
}
