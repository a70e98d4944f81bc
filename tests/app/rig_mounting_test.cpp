// What a trainer shows: the same cut chatters with a long tool, a bad hold or a sharp corner, and falls silent with a
// shorter tool, a better hold or a path of constant engagement. By the simulator's own truth and by what is heard.
#include <fstream>
#include <string>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Words;

namespace {

const std::string kConfig = std::string(HUSHMILL_SOURCE_DIR) + "/config/";

struct Heard {
  int true_stretches = 0;  // that the simulator says chattered
  test::Json episodes;     // that were alarmed
};

Heard heard(Words cut, const std::string& rpm, const std::string& flutes, const std::string& seconds = "6") {
  const test::BenchFolder bench;
  for (const char* word : {"--for-s", seconds.c_str()}) cut.emplace_back(word);
  bench.simulate("cut.wav", cut);
  Heard heard;
  std::ifstream label(bench.path("cut.txt"));
  for (std::string line; std::getline(label, line);)
    if (line.rfind("true_chatter_s: ", 0) == 0) ++heard.true_stretches;
  const auto document = bench.review("cut.wav", rpm, flutes);
  heard.episodes = document.at("episodes");
  INFO(document.dump());
  return heard;
}

void check_chatters(const Heard& heard) {
  CHECK(heard.true_stretches >= 1);
  CHECK(heard.episodes.size() >= 1);
}

void check_quiet(const Heard& heard) {
  CHECK(heard.true_stretches == 0);
  CHECK(heard.episodes.empty());
}

}  // namespace

TEST_CASE("the same cut is heard to chatter with a long tool and heard quiet with a shorter one") {
  const Words cut{"--setup", kConfig + "bracket-wall.toml", "--depth-mm", "3.4"};
  const auto with = [&](const char* stick_out) {
    Words words = cut;
    words.insert(words.end(), {"--stick-out-mm", stick_out});
    return heard(words, "6800", "4");
  };
  check_chatters(with("66"));
  check_quiet(with("32"));
}

TEST_CASE("the same cut is heard to chatter in a bad hold and heard quiet when held deeper or propped") {
  // Four seconds of air: with less, the listener does not yet know the room and may take the entry of so slow and
  // broken a cut for chatter.
  const Words cut{"--setup", kConfig + "fin-wall.toml", "--air-s", "4"};
  const auto with = [&](const Words& more) {
    Words words = cut;
    words.insert(words.end(), more.begin(), more.end());
    return heard(words, "2600", "4", "8");
  };
  check_chatters(with({"--overhang-mm", "45"}));
  check_quiet(with({}));
  check_quiet(with({"--overhang-mm", "45", "--support-n-um", "60"}));
}

TEST_CASE("a pocket is heard to chatter in each sharp corner and nowhere at constant engagement") {
  const auto sharp = heard({"--scene", "tray-pocket"}, "8400", "3", "10");
  CHECK(sharp.true_stretches == 3);
  CHECK(sharp.episodes.size() == 3);
  check_quiet(heard({"--scene", "tray-even"}, "8400", "3", "10"));
}

TEST_CASE("the label tells corner chatter that comes and goes within a third of a second") {
  const test::BenchFolder bench;
  bench.simulate("corner.wav", {"--scene", "tray-pocket", "--rpm", "6861", "--for-s", "6"});
  CHECK(bench.true_onset_s("corner.wav") > 4.4);
  CHECK(bench.true_onset_s("corner.wav") < 4.8);
  const auto episodes = bench.review("corner.wav", "6861", "3").at("episodes");
  REQUIRE(episodes.size() == 1);
  CHECK(std::abs(episodes[0].at("start_s").get<double>() - bench.true_onset_s("corner.wav")) < 0.15);
}

TEST_CASE("what was changed of the mounting is said, on the chart too") {
  const test::BenchFolder bench;
  const auto run = bench.hushmill({"lobes", kConfig + "bracket-wall.toml", "--stick-out-mm", "32", "--speeds", "3",
                                   "--rpm-from", "6000", "--rpm-to", "7000"});
  CHECK(run.code == 0);
  CHECK(run.out.find("stick-out 48 -> 32 mm") != std::string::npos);
  const auto picture = bench.hushmill({"lobes", kConfig + "bracket-wall.toml", "--speeds", "3", "--rpm-from", "6000",
                                       "--rpm-to", "7000", "--out", bench.path("chart.svg")});
  CHECK(picture.code == 0);
  CHECK(picture.out.find("chart.svg: 3 speeds from 6000 to 7000 rev/min, lowest limit ") != std::string::npos);
}

TEST_CASE("a chart that goes beyond the limits says so, and every table has its cautions") {
  const test::BenchFolder bench;
  const auto beyond = bench.hushmill({"lobes", kConfig + "bracket-wall.toml", "--method", "zero-order", "--speeds", "3", "--rpm-to", "30000"});
  CHECK(beyond.out.find("Above 12000 rev/min, the lower limit of spindle and tool") != std::string::npos);
  CHECK(beyond.out.find("Doors shut, guards on") != std::string::npos);
}

TEST_CASE("a mounting that cannot be is refused") {
  const test::BenchFolder bench;
  const std::string out = bench.path("x.wav");
  const auto refused = [&](const Words& words, const Words& named) {
    INFO(words.back());
    CHECK(test::complaint_trouble(bench.hushmill(words), 2, named) == "");
  };
  refused({"rig", "--out", out, "--stick-out-mm", "20"}, {"--stick-out-mm", "'20'", "26 to 180", "would be right"});
  refused({"rig", "--out", out, "--holder-times", "0"}, {"--holder-times", "'0'", "0.1 to 10", "would be right"});
  refused({"rig", "--out", out, "--overhang-mm", "20"}, {"--overhang-mm", "'20'", "hold", "would be right"});
  refused({"rig", "--out", out, "--scene", "tray-pocket", "--support-n-um", "-1"},
          {"--support-n-um", "'-1'", "would be right"});
  refused({"lobes", kConfig + "bracket-wall.toml", "--support-n-um", "5"}, {"--support-n-um", "'5'", "would be right"});
}
