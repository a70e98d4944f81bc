#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>
#include <stdexcept>
#include <string>

#include "picture/stability_picture.hpp"
#include "picture/ticks.hpp"
#include "support/catch.hpp"

using namespace hushmill;

namespace {

picture::StabilityPicture example() {
  picture::StabilityPicture made;
  made.title = "Bracket, side wall";
  made.subtitle = "End mill 12 mm";
  made.notes = {
      "A long note on where the numbers come from, long enough that it cannot stand on one line of the sheet and has "
      "to be "
      "broken into two, with a word in µm and a reference to a handbook of 2009 at its end."};
  for (int i = 0; i < 60; ++i) {
    cutting::StabilityLimit limit{
        .spindle_rpm = 4000.0 + 100 * i, .depth_mm = 2.0 + (i % 20) * 0.2, .chatter_hz = 1200.0 + i};
    limit.open = i > 50;
    if (i > 20 && i < 30) limit.kind = cutting::ChatterKind::period_doubling;
    made.chart.limits.push_back(limit);
  }
  made.trials = {{5000, 1.0, false}, {5000, 4.0, true}};
  made.now = picture::TrialMark{6000, 1.5, false};
  return made;
}

struct Folder {
  std::filesystem::path path =
      std::filesystem::temp_directory_path() / ("hushmill-picture-" + std::to_string(std::random_device{}()));
  Folder() { std::filesystem::create_directories(path); }
  ~Folder() { std::filesystem::remove_all(path); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
};

std::string bytes_of(const std::filesystem::path& file) {
  std::ostringstream whole;
  whole << std::ifstream(file, std::ios::binary).rdbuf();
  return whole.str();
}

std::size_t count_of(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}

}  // namespace

TEST_CASE("A chart becomes an SVG and a PNG file") {
  const Folder folder;
  picture::write_stability_picture(example(), folder.path / "a.svg");
  const std::string svg = bytes_of(folder.path / "a.svg");
  CHECK(svg.starts_with("<?xml"));
  const bool closed = svg.find("</svg>") != std::string::npos;
  CHECK(closed);
  CHECK(count_of(svg, "stroke-dasharray") >= 9);  // the stretch of period doubling
  picture::write_stability_picture(example(), folder.path / "a.png");
  const std::string png = bytes_of(folder.path / "a.png");
  CHECK(png.substr(1, 3) == "PNG");
  CHECK(png.size() > 20000);
}

TEST_CASE("Every trial leaves a mark of its own") {
  const Folder folder;
  picture::StabilityPicture none = example();
  none.trials.clear();
  picture::write_stability_picture(none, folder.path / "none.svg");
  picture::StabilityPicture more = none;
  for (int i = 0; i < 12; ++i) more.trials.push_back({4500.0 + 300 * i, 1.0, true});
  picture::write_stability_picture(more, folder.path / "more.svg");
  const auto paths = [&](const char* name) { return count_of(bytes_of(folder.path / name), "<path"); };
  CHECK(paths("more.svg") >= paths("none.svg") + 24);  // two strokes a cross, and the legend
}

TEST_CASE("The cut as entered is a ring that the legend explains; a cut off the chart is not drawn at its edge") {
  const Folder folder;
  const auto paths = [&](const picture::StabilityPicture& made) {
    picture::write_stability_picture(made, folder.path / "now.svg");
    return count_of(bytes_of(folder.path / "now.svg"), "<path");
  };
  picture::StabilityPicture none = example();
  none.now.reset();
  picture::StabilityPicture off = example();
  off.now->spindle_rpm = 30000;
  CHECK(paths(example()) == paths(off) + 1);
  CHECK(paths(off) > paths(none));  // its words in the legend
}

TEST_CASE("A picture that cannot be is refused in one line") {
  CHECK_THROWS_WITH(picture::write_stability_picture(example(), "chart.gif"),
                    "the picture chart.gif ends in '.gif'; .png or .svg would be right");
  picture::StabilityPicture thin = example();
  thin.chart.limits.resize(1);
  CHECK_THROWS_AS(picture::write_stability_picture(thin, "chart.png"), std::invalid_argument);
  CHECK_THROWS_AS(picture::write_stability_picture(example(), "/no/such/folder/chart.png"), std::runtime_error);
  CHECK_THROWS_AS(picture::write_stability_picture(example(), "/no/such/folder/chart.svg"), std::runtime_error);
}

TEST_CASE("Ticks are round, within the range, and labelled without needless decimals") {
  const auto labels = [](double from, double to, int wanted) {
    std::string all;
    for (const picture::Tick& tick : picture::round_ticks(from, to, wanted)) all += tick.label + ' ';
    return all;
  };
  CHECK(labels(0, 10, 5) == "0 2 4 6 8 10 ");
  CHECK(labels(3500, 12000, 9) == "4000 5000 6000 7000 8000 9000 10000 11000 12000 ");
  CHECK(labels(0, 0.6, 6) == "0.0 0.1 0.2 0.3 0.4 0.5 0.6 ");
  CHECK(labels(-1, 1, 4) == "-1.0 -0.5 0.0 0.5 1.0 ");
  CHECK(labels(1, 1, 4).empty());
}
