// The terminal monitor: one JSON object a line, and the same answer as a review whatever door the sound comes through.
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

#include "app/bench_folder.hpp"
#include "app/document_shape.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Json;
using test::WithinAbs;
using test::WithinRel;
using test::Words;

namespace {

std::vector<Json> lines_of(const test::ProgramRun& run) {
  REQUIRE(run.code == 0);
  CHECK(run.err.empty());
  std::vector<Json> lines;
  std::istringstream text(run.out);
  for (std::string line; std::getline(text, line);) lines.push_back(Json::parse(line));
  return lines;
}

std::vector<Json> of_kind(const std::vector<Json>& lines, const std::string& event) {
  std::vector<Json> found;
  for (const Json& line : lines)
    if (line.at("event") == event) found.push_back(line);
  return found;
}

}  // namespace

TEST_CASE("watching a recording gives the events of its review, in order of time") {
  // The monitor feeds the engine 20 ms at a time, the review 4096 samples: the size of a block must not show.
  const test::BenchFolder bench;
  bench.simulate("cut.wav", {"--scene", "bracket-wall", "--depth-at", "4:3", "--depth-at", "6:1.2", "--for-s", "9"});
  const auto document = bench.review("cut.wav", "6800", "4");
  const auto lines = lines_of(bench.hushmill(
      {"watch", "--source", "recording", "--file", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--json"}));
  REQUIRE_FALSE(lines.empty());
  double before_s = 0;
  for (const Json& line : lines) {
    INFO(line.dump());
    REQUIRE(line.at("t_s").is_number());
    REQUIRE(line.at("event").is_string());
    CHECK(line.at("t_s").get<double>() >= before_s);
    before_s = line.at("t_s");
  }

  const auto onsets = of_kind(lines, "chatter_onset");
  const auto ends = of_kind(lines, "chatter_ends");
  const auto& episodes = document.at("episodes");
  REQUIRE_FALSE(episodes.empty());
  REQUIRE(onsets.size() == episodes.size());
  for (std::size_t i = 0; i < onsets.size(); ++i) {
    INFO(onsets[i].dump());
    CHECK(test::episode_shape_trouble(onsets[i]) == "");
    CHECK(test::advice_shape_trouble(onsets[i].at("advice")) == "");
    CHECK(onsets[i].at("alert_s") == episodes[i].at("alert_s"));
    CHECK_THAT(onsets[i].at("t_s").get<double>(), WithinAbs(episodes[i].at("alert_s").get<double>(), 2e-4));
  }
  REQUIRE_FALSE(ends.empty());
  CHECK(test::episode_shape_trouble(ends.back()) == "");
  for (const char* field : {"start_s", "alert_s", "end_s", "chatter_hz", "kind", "peak_dbfs", "chatter_share"}) {
    INFO(field);
    CHECK(ends.back().at(field) == episodes.back().at(field));
  }
  CHECK(of_kind(lines, "cut_begins").size() == document.at("cuts").size());
}

TEST_CASE("the option --for-s bounds how much of a recording is heard") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kChatteringWall);
  const auto lines = lines_of(bench.hushmill({"watch", "--source", "recording", "--file", bench.path("cut.wav"),
                                              "--rpm", "6800", "--flutes", "4", "--for-s", "3", "--json"}));
  CHECK(of_kind(lines, "cut_begins").size() == 1);
  CHECK(of_kind(lines, "chatter_onset").empty());
  for (const Json& line : lines) CHECK(line.at("t_s").get<double>() <= 3.0);
}

TEST_CASE("the simulated machine is heard live as it is from its file") {
  const test::BenchFolder bench;
  const Words scene{"--scene", "rail-slot", "--seed", "2", "--depth-at", "3:1.4"};
  Words file = scene;
  file.insert(file.end(), {"--for-s", "4"});
  bench.simulate("cut.wav", file);
  const auto document = bench.review("cut.wav", "5000", "4");
  REQUIRE(document.at("episodes").size() == 1);

  Words live{"watch", "--source", "rig", "--json", "--for-s", "4"};
  live.insert(live.end(), scene.begin(), scene.end());
  const auto onsets = of_kind(lines_of(bench.hushmill(live)), "chatter_onset");
  REQUIRE(onsets.size() == 1);
  // The file holds 16 bits, so a hop more or less is allowed.
  CHECK_THAT(onsets[0].at("alert_s").get<double>(),
             WithinAbs(document.at("episodes")[0].at("alert_s").get<double>(), 0.025));
}

TEST_CASE("without --json the monitor names the onset, both directions and the cautions") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kChatteringWall);
  const auto run = bench.hushmill({"watch", "--source", "recording", "--file", bench.path("cut.wav"), "--rpm", "6800",
                                   "--flutes", "4", "--feed-mm-min", "1632"});
  CHECK(run.code == 0);
  CHECK(run.err.empty());
  for (const char* part : {"cut begins", "CHATTER at", "first: ", " S", " F", "Advice only", "Shop rules"}) {
    INFO(part << " in\n" << run.out);
    CHECK(run.out.find(part) != std::string::npos);
  }
  // Beside the advice, too: what was said at the start has scrolled away by then.
  CHECK(run.out.find("Advice only: doors shut, guards on", run.out.find("CHATTER at")) < run.out.find("first: "));
}

TEST_CASE("chatter that comes back in every corner gets its advice once, then a line that it stands; whose note it is is said") {
  const test::BenchFolder bench;
  const auto run = bench.hushmill({"watch", "--source", "recording", "--file", std::string(HUSHMILL_SOURCE_DIR) + "/recordings/tray-corners.flac",
                                   "--rpm", "8400", "--flutes", "3", "--tap-part", "1500"});
  CHECK(run.code == 0);
  const auto count = [&](const std::string& part) {
    int found = 0;
    for (auto at = run.out.find(part); at != std::string::npos; at = run.out.find(part, at + 1)) ++found;
    return found;
  };
  INFO(run.out);
  REQUIRE(count("it came back") >= 3);
  CHECK(count("            as before: ") >= 2);
  CHECK(count("            first: ") + count("            as before: ") == count("CHATTER at"));
  CHECK(count("No upper limit was entered") == 1);
  CHECK(count("the part's note (tapped at 1500 Hz)") >= 1);
}
