// `hushmill tap FILE` as a person would use it. All data are invented.
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"
#include "support/tapped.hpp"
#include "support/wav.hpp"

using namespace hushmill;
using test::Json;

namespace {
std::vector<float> tapped_tool() {
  test::TappedThing thing;
  thing.duration_s = 4.2;
  thing.modes = {{1180, 0.018, 1}, {2640, 0.011, 0.6}};
  thing.hits = {{0.8, 1}, {1.7, 0.8}, {2.5, 0.9}};
  thing.click = 0.1;
  thing.noise_below_db = 30;
  return test::make_tapped(thing, 1).samples;
}
}  // namespace

TEST_CASE("taps of a tool give the document of the contract, and pockets for its flutes") {
  const test::BenchFolder bench;
  test::write_bytes(bench.path("tool.wav"), test::float_wav(48000, 1, tapped_tool()));
  const auto document = bench.json_of({"tap", bench.path("tool.wav"), "--json", "--for", "tool", "--flutes", "4"});
  CHECK(document.at("taps") == 3);
  CHECK(document.at("on") == "tool");
  CHECK(document.at("sample_rate_hz") == 48000);
  CHECK(document.at("rejected").empty());
  const auto& modes = document.at("modes");
  REQUIRE(modes.size() == 2);
  CHECK(std::abs(modes[0].at("natural_hz").get<double>() - 1180) < 1.2);
  CHECK(std::abs(modes[0].at("damping_ratio").get<double>() - 0.018) < 0.0009);
  CHECK(modes[0].at("taps_agreeing") == 3);
  for (const char* field : {"natural_hz_spread", "damping_ratio_spread", "damped_hz", "level_db", "ring_s"}) CHECK(modes[1].at(field).is_number());
  for (const auto& warning : document.at("warnings")) CHECK(warning.at("text").get<std::string>().size() > 10);
  const auto& pockets = document.at("pockets");
  REQUIRE(pockets.size() > 2);
  // 60·f_n/(N·k), T.L. Schmitz, K.S. Smith, "Machining Dynamics", 2009 (from memory).
  CHECK(std::abs(pockets[0].at("spindle_rpm").get<double>() - 60 * modes[0].at("natural_hz").get<double>() / 4) < 0.2);

  const auto run = bench.hushmill({"tap", bench.path("tool.wav"), "--flutes", "4"});
  CHECK(run.code == 0);
  CHECK(run.out.rfind("Caution: Spindle stopped and locked out", 0) == 0);
  for (const char* part : {"soft face", "three to five taps", "3 of 3", "Relative only"}) {
    INFO(part);
    CHECK(run.out.find(part) != std::string::npos);
  }
}

TEST_CASE("modes are kept in a set-up file, comments stay, a second time replaces the first") {
  const test::BenchFolder bench;
  test::write_bytes(bench.path("tool.wav"), test::float_wav(48000, 1, tapped_tool()));
  std::ofstream(bench.path("setup.toml")) << "# a note of mine\ntitle = \"Bracket\"\n\n[[taps]]\non = \"part\"\nnatural_hz = 400\ndamping_ratio = 0.01\n";
  for (int times = 0; times < 2; ++times)
    CHECK(bench.hushmill({"tap", bench.path("tool.wav"), "--for", "tool", "--save", bench.path("setup.toml")}).code == 0);
  std::ostringstream read;
  read << std::ifstream(bench.path("setup.toml")).rdbuf();
  const std::string text = read.str();
  const auto count = [&](const std::string& part) {
    int found = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
    return found;
  };
  CHECK(count("# a note of mine") == 1);
  CHECK(count("title = ") == 1);
  CHECK(count("[[taps]]") == 3);
  CHECK(count("on = \"tool\"") == 2);
  CHECK(count("on = \"part\"") == 1);
}

TEST_CASE("kept taps go to the adviser: tool or part, and the damping of the mode that chatters") {
  const test::BenchFolder bench;
  std::ofstream(bench.path("setup.toml")) << "title = \"Bracket\"\n\n[[taps]]\non = \"tool\"\nnatural_hz = 1180\ndamping_ratio = 0.018\n\n[[taps]]\non = \"part\"\n"
                                             "natural_hz = 640\ndamping_ratio = 0.004\n\n[[taps]]\non = \"machine\"\nnatural_hz = 310\ndamping_ratio = 0.02\n";
  const auto speeds = [&](const char* chatter_hz, const test::Words& more) {
    test::Words words{"speeds", "--chatter-hz", chatter_hz, "--rpm", "6000", "--flutes", "4", "--json"};
    words.insert(words.end(), more.begin(), more.end());
    return bench.json_of(words);
  };
  const test::Words kept{"--taps", bench.path("setup.toml")}, typed{"--tap-tool", "1180", "--tap-part", "640"};
  const auto with = [](test::Words words, const char* damping_ratio) {
    words.insert(words.end(), {"--damping-ratio", damping_ratio});
    return words;
  };
  CHECK(speeds("1205", kept) == speeds("1205", with(typed, "0.018")));
  CHECK(speeds("1205", kept) != speeds("1205", with(typed, "0.06")));
  CHECK(speeds("1205", with(kept, "0.06")) == speeds("1205", with(typed, "0.06")));  // what is typed counts
  CHECK(speeds("645", kept) == speeds("645", with(typed, "0.004")));
  CHECK(speeds("645", kept).at("part_sings") == true);
  CHECK(speeds("900", kept) == speeds("900", typed));  // no tapped mode is near
  CHECK(speeds("900", typed).at("taps_say").get<std::string>().find("None of the tapped notes is near") == 0);
  CHECK(speeds("645", kept).at("taps_say").get<std::string>().find("the part's note (tapped at 640 Hz), not the tool's: work on the hold") != std::string::npos);
  CHECK(speeds("312", kept).at("taps_say").get<std::string>().find("the machine's note (tapped at 310 Hz)") != std::string::npos);
  CHECK(speeds("312", kept).at("part_sings").is_null());

  const auto wrong = [&](const std::string& file, const test::Words& parts) {
    return test::complaint_trouble(bench.hushmill({"speeds", "--chatter-hz", "900", "--rpm", "6000", "--flutes", "4", "--taps", bench.path(file)}), 2, parts);
  };
  CHECK(wrong("none.toml", {"none.toml", "would be right"}) == "");
  std::ofstream(bench.path("bare.toml")) << "title = \"Bracket\"\n";
  CHECK(wrong("bare.toml", {"--taps", "bare.toml", "tap --save", "would be right"}) == "");
}

TEST_CASE("a recording without taps says so and ends with exit code 1") {
  const test::BenchFolder bench;
  test::write_bytes(bench.path("quiet.wav"), test::float_wav(48000, 1, std::vector<float>(96000, 0.001F)));
  const auto run = bench.hushmill({"tap", bench.path("quiet.wav"), "--json"});
  CHECK(run.code == 1);
  const auto document = Json::parse(run.out);
  CHECK(document.at("taps") == 0);
  CHECK(document.at("modes").empty());
  CHECK(document.at("warnings")[0].at("code") == "no_taps");
}

TEST_CASE("bad input to the tap test gets one clear line and exit code 2") {
  const test::BenchFolder bench;
  const auto wrong = [&](const test::Words& words, const test::Words& parts) { return test::complaint_trouble(bench.hushmill(words), 2, parts); };
  CHECK(wrong({"tap"}, {"nothing to hear", "would be right"}) == "");
  CHECK(wrong({"tap", bench.path("none.wav")}, {"none.wav", "no such file", "would be right"}) == "");
  CHECK(wrong({"tap", "--source", "rig"}, {"--source", "rig", "would be right"}) == "");
  test::write_bytes(bench.path("tool.wav"), test::float_wav(48000, 1, tapped_tool()));
  CHECK(wrong({"tap", bench.path("tool.wav"), "--for", "chuck"}, {"--for", "chuck", "tool, part or machine"}) == "");
  CHECK(wrong({"tap", bench.path("tool.wav"), "--save", bench.path("a.toml")}, {"--save", "--for", "would be right"}) == "");
  CHECK(wrong({"tap", bench.path("tool.wav"), "--flutes", "0"}, {"--flutes", "0", "would be right"}) == "");
  test::write_bytes(bench.path("slow.wav"), test::float_wav(4000, 1, std::vector<float>(8000)));
  CHECK(wrong({"tap", bench.path("slow.wav")}, {"slow.wav", "4000", "8000 to 192000"}) == "");
  std::ofstream(bench.path("bad.toml")) << "[[taps]]\non = \"spoon\"\n";
  CHECK(wrong({"tap", bench.path("tool.wav"), "--for", "tool", "--save", bench.path("bad.toml")}, {"bad.toml", "spoon", "would be right"}) == "");
}
