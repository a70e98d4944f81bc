// The journal from the command line: a session is kept, found, shown, exported, pruned.
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Json;
using test::Words;

namespace {

std::string text_of(const std::string& file) {
  std::ostringstream text;
  text << std::ifstream(file, std::ios::binary).rdbuf();
  return text.str();
}

// Lines of `watch` that tell of trials.
const std::set<std::string> kOfTrials{"trial_ends", "speed_entered", "quiet_so_far", "chatter_goes_on"};

/// One chattering session under a job and a tool with nasty names.
void keep_a_session(const test::BenchFolder& bench) {
  bench.simulate("cut.wav", test::kChatteringWall);
  const auto run = bench.hushmill({"watch", "--source", "recording", "--file", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4",
                                   "--feed-mm-min", "1632", "--journal", "--data", bench.path("data"), "--job", "bracket, \"left\"", "--tool",
                                   "<script>", "--json"});
  REQUIRE(run.code == 0);
  CHECK(run.err.empty());
  // What was shown as kept: the last such line counts every event of the sound (trials are kept at the end).
  std::istringstream lines(run.out);
  std::size_t events = 0;
  Json kept;
  for (std::string line; std::getline(lines, line);) {
    const Json one = Json::parse(line);
    if (one.at("event") == "kept") kept = one;
    else if (kOfTrials.count(one.at("event")) == 0) ++events;
  }
  REQUIRE(kept.is_object());
  CHECK(kept.at("count") == events);
  CHECK(kept.at("session") == 1);
}

}  // namespace

TEST_CASE("a session that was watched is listed, shown and exported, and says what a review says") {
  const test::BenchFolder bench;
  keep_a_session(bench);
  const std::string data = bench.path("data");
  const auto list = bench.json_of({"journal", "list", "--data", data, "--json"});
  REQUIRE(list.size() == 1);
  CHECK(list[0].at("job") == "bracket, \"left\"");
  CHECK(list[0].at("episodes") == 1);

  const auto shown = bench.json_of({"journal", "show", "1", "--data", data, "--json"});
  const auto review = bench.review("cut.wav", "6800", "4");
  REQUIRE(shown.at("episodes").size() == review.at("episodes").size());
  const auto& kept = shown.at("episodes")[0];
  const auto& heard = review.at("episodes")[0];
  CHECK(std::abs(kept.at("start_s").get<double>() - heard.at("start_s").get<double>()) < 1e-4);
  CHECK(std::abs(kept.at("alert_s").get<double>() - heard.at("alert_s").get<double>()) < 2e-4);
  CHECK(std::abs(kept.at("chatter_hz").get<double>() - heard.at("chatter_hz").get<double>()) < 1e-3);
  CHECK(shown.at("recordings").size() == 1);
  CHECK(shown.at("recordings")[0].at("sha256").get<std::string>().size() == 64);
  CHECK(shown.at("setups")[0].at("tool") == "<script>");
  CHECK_FALSE(shown.at("advice").empty());
  CHECK_FALSE(shown.at("sessions")[0].at("ended_utc").is_null());

  const auto text = bench.hushmill({"journal", "show", "1", "--data", data});
  CHECK(text.code == 0);
  for (const char* part : {"Chatter", "lower", "Advice only", "bracket, \"left\""}) {
    CAPTURE(part, text.out);
    CHECK(text.out.find(part) != std::string::npos);
  }
  CHECK(bench.hushmill({"journal", "list", "nothing like it", "--data", data}).out == "The journal has no such session.\n");
}

TEST_CASE("exports are read by a general tool, and CSV says the same as JSON") {
  const test::BenchFolder bench;
  keep_a_session(bench);
  const std::string data = bench.path("data");
  REQUIRE(bench.hushmill({"journal", "note", "1", "=cmd(\"x\"), two\nlines", "--data", data}).code == 0);
  for (const char* table : {"sessions", "events", "episodes", "notes", "recordings", "jobs", "setups", "advice", "cards", "cuts", "trials", "taps", "tools"}) {
    CAPTURE(table);
    REQUIRE(bench.hushmill({"journal", "export", table, "--data", data, "--out", bench.path("t.csv")}).code == 0);
    REQUIRE(bench.hushmill({"journal", "export", table, "--data", data, "--out", bench.path("t.json")}).code == 0);
    // Python's own readers compare the two, field by field.
    const auto run = test::run_program(
        {"python3", "-c", R"(
import csv, json, sys
rows = list(csv.DictReader(open(sys.argv[1], newline='', encoding='utf-8')))
objects = json.load(open(sys.argv[2], encoding='utf-8'))
assert len(rows) == len(objects), (len(rows), len(objects))
for row, one in zip(rows, objects):
    assert None not in row and list(row) == list(one), row
    for key, value in one.items():
        text = row[key]
        if value is None: assert text == ''
        elif isinstance(value, str): assert text == ("'" + value if value[:1] in '=+-@\t\r' and value else value), (text, value)
        else: assert float(text) == float(value), (text, value)
print(len(rows))
)", bench.path("t.csv"), bench.path("t.json")}, {}, std::chrono::seconds(60));
    if (run.code == 127) return;  // no such tool here
    CAPTURE(run.err);
    CHECK(run.code == 0);
  }
  CHECK(text_of(bench.path("t.csv")).ends_with("\r\n"));
}

TEST_CASE("trials are kept with the F word at their own speed, with the table of speeds, in the unit that was entered") {
  const test::BenchFolder bench;
  bench.simulate("wall.wav", {"--depth-at", "4:3", "--rpm-at", "8:6000", "--for-s", "14"});
  const std::string data = bench.path("data");
  REQUIRE(bench.hushmill({"watch", "--source", "recording", "--file", bench.path("wall.wav"), "--rpm", "6800", "--flutes", "4", "--feed-in-min", "64",
                          "--rpm-at", "8:6000", "--tag", "3:14:wall", "--journal", "--data", data}).code == 0);
  const auto trials = Json::parse(bench.hushmill({"journal", "export", "trials", "--json", "--data", data}).out);
  REQUIRE(trials.size() == 2);
  CHECK(std::abs(trials[1].at("feed_mm_min").get<double>() - 64 * 25.4 * 6000 / 6800) < 1e-6);
  const auto speeds = Json::parse(bench.hushmill({"journal", "export", "speeds", "--json", "--data", data}).out);
  REQUIRE(speeds.size() == 4);  // two speeds, each anywhere and at the wall
  CHECK(speeds[2].at("spindle_rpm") == 6000);
  CHECK(speeds[3].at("place") == "wall");
  CHECK(speeds[3].at("outcome") == "held");
  CHECK(speeds[3].at("holds_everywhere") == 1);
  const auto text = bench.hushmill({"journal", "show", "1", "--data", data}).out;
  CHECK(text.find("F56.47 in/min: held") != std::string::npos);
  REQUIRE(bench.hushmill({"report", "--session", "1", "--data", data, "--out", bench.path("r.html")}).code == 0);
  const auto html = text_of(bench.path("r.html"));
  for (const char* part : {"Which speed held where", "The highest speed that held in every place that was named: S6000 F56.47 in/min.", "<th>wall</th>"}) {
    CAPTURE(part);
    CHECK(html.find(part) != std::string::npos);
  }
  // The next day: what it tried counts, on the same cut.
  const Words next_day{"speeds", "--chatter-hz", "1450", "--rpm", "7600", "--flutes", "4", "--tried-session", "1", "--data", data};
  const auto with = [&](Words words) {
    Words all = next_day;
    all.insert(all.end(), words.begin(), words.end());
    return bench.hushmill(all);
  };
  const auto told = with({"--json"});
  CHECK(told.code == 0);
  CHECK(told.err.find("session 1 counts as tried: 6000:held, 6800:chattered@") != std::string::npos);
  const auto hz = told.err.substr(told.err.find('@') + 1, told.err.find('\n') - told.err.find('@') - 1);
  const auto typed = bench.hushmill({"speeds", "--chatter-hz", "1450", "--rpm", "7600", "--flutes", "4", "--tried", "6000:held", "--tried", "6800:chattered@" + hz, "--json"});
  for (const char* way : {"lower", "higher"})  // the line of words has fewer digits than the journal
    CHECK(Json::parse(told.out).at(way).at("spindle_rpm").get<double>() == test::Approx(Json::parse(typed.out).at(way).at("spindle_rpm").get<double>()).epsilon(0.002));
  CHECK(with({"--tried", "6000:chattered", "--json"}).out != told.out);  // what is typed counts more
  const auto untold = bench.hushmill({"speeds", "--chatter-hz", "1450", "--rpm", "7600", "--flutes", "4", "--json"});
  CHECK(untold.out != told.out);
  CHECK(test::complaint_trouble(bench.hushmill({"speeds", "--chatter-hz", "1450", "--rpm", "7600", "--flutes", "3", "--tried-session", "1", "--data", data}), 2,
                                {"--tried-session is 1", "nothing on this cut", "would be right"}) == "");
  CHECK(test::complaint_trouble(bench.hushmill({"speeds", "--chatter-hz", "1450", "--rpm", "7600", "--flutes", "4", "--tried-session", "9", "--data", data}), 2, {"no session 9"}) == "");
  CHECK(test::complaint_trouble(bench.hushmill({"speeds", "--chatter-hz", "1450", "--rpm", "7600", "--flutes", "4", "--tried-session", "x", "--data", data}), 2, {"--tried-session", "'x'"}) == "");
  // A crash leaves no end: it is found from what is there.
  REQUIRE(bench.hushmill({"journal", "note", "1", " \t", "--data", data}).code == 2);
  CHECK(bench.hushmill({"journal", "note", "1", "first article", "--data", data}).out == "noted in session 1\n");
}

TEST_CASE("a damaged journal is said to be one") {
  const test::BenchFolder bench;
  keep_a_session(bench);
  const std::filesystem::path file = bench.path("data/journal.sqlite");
  const auto bytes = std::filesystem::file_size(file);
  REQUIRE(bytes > 8192);
  std::fstream damaged(file, std::ios::binary | std::ios::in | std::ios::out);
  damaged.seekp(4096);
  damaged << std::string(bytes - 4096, 'Z');
  damaged.close();
  CHECK(test::complaint_trouble(bench.hushmill({"journal", "list", "--data", bench.path("data")}), 1, {"is damaged; a copy of it from before would be right"}) == "");
}

TEST_CASE("the journal's commands complain in one line") {
  const test::BenchFolder bench;
  const std::string data = bench.path("data");
  const auto complaint = [&](const Words& words, int code, const Words& parts) { return test::complaint_trouble(bench.hushmill(words), code, parts); };
  CHECK(complaint({"journal", "list", "--data", data}, 2, {"no journal in", "would be right"}) == "");
  keep_a_session(bench);
  CHECK(complaint({"journal", "show", "99", "--data", data}, 2, {"no session 99", "would be right"}) == "");
  CHECK(complaint({"journal", "show", "one", "--data", data}, 2, {"'one'"}) == "");
  CHECK(complaint({"journal", "export", "spoons", "--data", data}, 2, {"no table 'spoons'", "episodes", "would be right"}) == "");
  CHECK(complaint({"journal", "prune", "--data", data}, 2, {"no rule", "would be right"}) == "");
  CHECK(complaint({"journal", "pin", "77", "--data", data}, 2, {"no recording 77", "would be right"}) == "");
  CHECK(complaint({"journal", "delete", "1", "--data", data}, 2, {"'1'", "--session 1 or --recording 1 would be right"}) == "");
  CHECK(bench.hushmill({"journal", "delete", "--recording", "1", "--data", data}).out == "forgotten; the file stays: " + bench.path("cut.wav") + "\n");
  CHECK(complaint({"journal", "export", "events", "--data", data, "--out", "/proc/hushmill-test.csv"}, 1, {"cannot be written"}) == "");
  CHECK(complaint({"watch", "--source", "rig", "--record", "mp3", "--data", data}, 2, {"--record is 'mp3'; wav or flac would be right"}) == "");
  CHECK(complaint({"watch", "--source", "recording", "--file", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--record", "wav", "--data", data}, 2,
                  {"--record", "cut.wav' is a recording already", "would be right"}) == "");
  CHECK(complaint({"journal", "export", "events", "--data", data, "--out", bench.path("t.xlsx")}, 2, {"t.xlsx", ".csv or .json would be right"}) == "");
  std::ofstream(bench.path("data/journal.sqlite"), std::ios::binary) << std::string(5000, 'x');
  CHECK(complaint({"journal", "list", "--data", data}, 2, {"no journal of Hushmill", "would be right"}) == "");
}

TEST_CASE("a session of the simulated machine is recorded, pinned and pruned by a stated rule") {
  const test::BenchFolder bench;
  const std::string data = bench.path("data");
  for (const char* kind : {"wav", "flac"}) {
    const auto run = bench.hushmill({"watch", "--source", "rig", "--for-s", "2", "--seed", "7", "--depth-at", "1:3", "--stick-out-mm", "50", "--speed-error-percent", "0.5", "--journal", "--record", kind,
                                     "--data", data});
    CAPTURE(run.err);
    REQUIRE(run.code == 0);
    CHECK(run.out.find("kept in the journal as session") != std::string::npos);
    CHECK(run.out.find("recorded as") != std::string::npos);
  }
  const auto recordings = bench.json_of({"journal", "list", "--recordings", "--json", "--data", data});
  REQUIRE(recordings.size() == 2);
  // All that makes the sound again.
  CHECK(bench.json_of({"journal", "show", "1", "--json", "--data", data}).at("sessions")[0].at("settings") ==
        "--source rig --scene bracket-wall --seed 7 --speed-error-percent 0.5 --stick-out-mm 50 --depth-at 1:3");
  for (const auto& one : recordings) {
    const auto heard = bench.json_of({"review", data + "/" + one.at("path").get<std::string>(), "--rpm", "6800", "--flutes", "4", "--json"});
    CHECK(std::abs(heard.at("duration_s").get<double>() - 2.0) < 0.001);
  }
  REQUIRE(bench.hushmill({"journal", "pin", "1", "--data", data}).code == 0);
  const auto dry = bench.hushmill({"journal", "prune", "--above-gib", "0", "--dry-run", "--data", data});
  CHECK(dry.out.find("1 recording would go") != std::string::npos);
  const auto gone = bench.hushmill({"journal", "prune", "--above-gib", "0", "--data", data});
  CHECK(gone.out.find("1 recording gone") != std::string::npos);
  CHECK(bench.json_of({"journal", "list", "--recordings", "--json", "--data", data}).size() == 1);
  REQUIRE(bench.hushmill({"journal", "delete", "--session", "1", "--data", data}).code == 0);
  CHECK(bench.json_of({"journal", "list", "--json", "--data", data}).size() == 1);
}

TEST_CASE("a job has its tools") {
  const test::BenchFolder bench;
  const std::string data = bench.path("data");
  REQUIRE(bench.hushmill({"journal", "tool", "--job", "bracket", "--number", "7", "--name", "ball nose", "--flutes", "2", "--data", data}).code == 0);
  const auto run = bench.hushmill({"journal", "tool", "--job", "bracket", "--number", "3", "--name", "endmill", "--flutes", "4", "--diameter-mm",
                                   "12", "--max-rpm", "12000", "--data", data});
  CHECK(run.out == "T3  endmill, 4 flutes, 12 mm, at most 12000 rev/min\nT7  ball nose, 2 flutes\n");
  // Changed with fewer options: what is not named again stays.
  CHECK(bench.hushmill({"journal", "tool", "--job", "bracket", "--number", "3", "--flutes", "3", "--data", data}).out ==
        "T3  endmill, 3 flutes, 12 mm, at most 12000 rev/min\nT7  ball nose, 2 flutes\n");
  CHECK(bench.hushmill({"journal", "tool", "--job", "brackt", "--number", "1", "--name", "drill", "--flutes", "2", "--data", data}).out == "job 'brackt' is new\nT1  drill, 2 flutes\n");
  CHECK(test::complaint_trouble(bench.hushmill({"journal", "tool", "--job", "bracket", "--number", "4", "--name", "drill", "--data", data}), 2, {"T4", "--flutes is missing", "would be right"}) == "");
  CHECK(test::complaint_trouble(bench.hushmill({"journal", "tool", "--job", "", "--number", "1", "--name", "drill", "--flutes", "2", "--data", data}), 2, {"--job", "would be right"}) == "");
}

TEST_CASE("inches say the same as millimetres, and both at once are refused") {
  const test::BenchFolder bench;
  const auto speeds = [&](const Words& more) {
    Words words{"speeds", "--chatter-hz", "1250", "--rpm", "6000", "--flutes", "4", "--json"};
    words.insert(words.end(), more.begin(), more.end());
    return bench.json_of(words);
  };
  CHECK(speeds({"--diameter-in", "0.5", "--feed-in-min", "48", "--depth-in", "0.125", "--radial-in", "0.1", "--surface-ft-min", "200:1500"}) ==
        speeds({"--diameter-mm", "12.7", "--feed-mm-min", "1219.2", "--depth-mm", "3.175", "--radial-mm", "2.54", "--surface-m-min", "60.96:457.2"}));
  CHECK(test::complaint_trouble(bench.hushmill({"speeds", "--chatter-hz", "1250", "--rpm", "6000", "--flutes", "4", "--diameter-in", "0.5",
                                                "--diameter-mm", "12"}), 2, {"--diameter-mm and --diameter-in are both given", "would be right"}) == "");
  CHECK(test::complaint_trouble(bench.hushmill({"speeds", "--chatter-hz", "1250", "--rpm", "6000", "--flutes", "4", "--diameter-in", "1000"}), 2,
                                {"--diameter-in", "1000", "would be right"}) == "");
}
