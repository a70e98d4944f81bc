// Bad usage: exit code 2, nothing on standard output, one line on standard error that names the option, the value and
// what would be right.
#include <sys/wait.h>

#include <cstdlib>
#include <fstream>
#include <string>
#include <vector>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"
#include "support/wav.hpp"

using namespace hushmill;
using test::Words;

namespace {

struct Case {
  Words words;
  Words named;  // what the one line must hold, beside "would be right"
};

void check_refused(const test::BenchFolder& bench, const std::vector<Case>& cases) {
  for (const Case& c : cases) {
    Words parts = c.named;
    parts.push_back("would be right");
    std::string shown;
    for (const auto& word : c.words) shown += word + " ";
    INFO(shown);
    CHECK(test::complaint_trouble(bench.hushmill(c.words), 2, parts) == "");
  }
}

// Two seconds of silence as a file to review: the options are what is wrong.
struct QuietFile {
  test::BenchFolder bench;
  std::string path = bench.path("quiet.wav");
  QuietFile() { test::write_bytes(path, test::float_wav(16000, 1, std::vector<float>(32000, 0.0F))); }
  // A review with everything right, and then these words.
  Words with(const Words& more) const {
    Words words{"review", path, "--rpm", "6000", "--flutes", "4"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
  }
};

}  // namespace

TEST_CASE("a speed or a flute count that cannot be is refused") {
  const QuietFile file;
  std::vector<Case> cases;
  for (const char* rpm :
       {"9", "9.99", "200001", "-6000", "abc", "6000x", "6,000", "nan", "inf", "-inf", "1e999", "0x10", ""})
    cases.push_back({{"review", file.path, "--rpm", rpm, "--flutes", "4"},
                     {"--rpm ", std::string("'") + rpm + "'", "10", "200000"}});
  for (const char* flutes : {"0", "65", "2.5", "-1", "four", "nan", "1e1", "99999999999999999999"})
    cases.push_back({{"review", file.path, "--rpm", "6000", "--flutes", flutes},
                     {"--flutes ", std::string("'") + flutes + "'", "1", "64"}});
  check_refused(file.bench, cases);
}

TEST_CASE("a word with line breaks or signs that move the terminal's caret is refused in one line all the same") {
  const QuietFile file;
  check_refused(file.bench, {{file.with({"--depth-mm", "two\nlines"}), {"--depth-mm ", "'two?lines'"}},
                             {file.with({"--depth-mm", "\x1b[2J\x7f"}), {"--depth-mm ", "'?[2J?'"}}});
}

TEST_CASE("the ends of what is allowed are allowed") {
  const QuietFile file;
  for (const char* rpm : {"300", "200000", "6e3"})
    CHECK(file.bench.review("quiet.wav", rpm, "1").at("verdict") == "no_cut");
  CHECK(file.bench.review("quiet.wav", "6000", "64").at("verdict") == "no_cut");
}

TEST_CASE("every option of the cut refuses what is no number, NaN and infinity") {
  const QuietFile file;
  std::vector<Case> cases;
  for (const char* option : {"--programmed-rpm", "--diameter-mm", "--radial-mm", "--depth-mm", "--min-rpm", "--max-rpm",
                             "--tool-max-rpm", "--feed-mm-min", "--knob-step-percent", "--damping-ratio"})
    for (const char* value : {"nan", "inf", "1e999", "-1", "much"})
      cases.push_back({file.with({option, value}), {std::string(option) + " ", std::string("'") + value + "'"}});
  cases.push_back({file.with({"--knob-step-percent", "0"}), {"--knob-step-percent", "'0'"}});
  cases.push_back({file.with({"--damping-ratio", "2"}), {"--damping-ratio", "'2'"}});
  check_refused(file.bench, cases);
}

TEST_CASE("words that are not among the few allowed are refused") {
  const QuietFile file;
  check_refused(
      file.bench,
      {
          {file.with({"--milling", "sideways"}), {"--milling", "'sideways'", "climb", "conventional"}},
          {file.with({"--channel", "middle"}), {"--channel", "'middle'", "left", "right", "mix"}},
          {{"watch", "--source", "radio", "--rpm", "6000", "--flutes", "4"},
           {"--source", "'radio'", "microphone", "recording", "rig"}},
          {{"watch", "--source", "rig", "--scene", "moon"}, {"--scene", "'moon'", "bracket-wall"}},
          {{"rig", "--out", file.bench.path("x.wav"), "--scene", "moon"}, {"--scene", "'moon'", "bracket-wall"}},
      });
}

TEST_CASE("a change of speed is seconds and speed within the file") {
  const QuietFile file;
  check_refused(file.bench, {
                                {file.with({"--rpm-at", "5400"}), {"--rpm-at", "'5400'", ":"}},
                                {file.with({"--rpm-at", "1:"}), {"--rpm-at", "'1:'", "5.2:5400"}},
                                {file.with({"--rpm-at", ":5400"}), {"--rpm-at", "':5400'"}},
                                {file.with({"--rpm-at", "1:5400:9"}), {"--rpm-at", "5400:9"}},
                                {file.with({"--rpm-at", "x:5400"}), {"--rpm-at", "'x:5400'"}},
                                {file.with({"--rpm-at", "nan:5400"}), {"--rpm-at", "'nan:5400'"}},
                                {file.with({"--rpm-at", "-1:5400"}), {"--rpm-at", "'-1:5400'"}},
                                {file.with({"--rpm-at", "1:5400", "--rpm-at", "1.0:6000"}), {"--rpm-at", "twice for 1 s", "5400 and 6000"}},
                                {file.with({"--rpm-at", "1:9"}), {"--rpm-at", "'1:9'", "10 to 200000"}},
                                {file.with({"--rpm-at", "2.5:5400"}), {"--rpm-at", "2.5", "quiet.wav", "2 "}},
                            });
}

TEST_CASE("an earlier trial is speed, outcome and perhaps a frequency") {
  const QuietFile file;
  check_refused(file.bench, {
                                {file.with({"--tried", "5400"}), {"--tried", "'5400'", "RPM:held"}},
                                {file.with({"--tried", "5400:good"}), {"--tried", "'5400:good'", "RPM:held"}},
                                {file.with({"--tried", "x:held"}), {"--tried", "'x'"}},
                                {file.with({"--tried", "9:held"}), {"--tried", "'9'"}},
                                {file.with({"--tried", "6000:chattered@"}), {"--tried", "'6000:chattered@'"}},
                                {file.with({"--tried", "6000:chattered@nan"}), {"--tried", "'nan'"}},
                                {file.with({"--tried", "6000:chattered@0"}), {"--tried", "'0'"}},
                                {file.with({"--tried", "6000:held@1370"}), {"--tried", "'6000:held@1370'"}},
                                {file.with({"--tried", "6000:held", "--tried", "6000:chattered"}), {"--tried", "6000", "held and chattered"}},
                                {file.with({"--tried", "5400:held", "--tried", "6000:chattering"}),
                                 {"--tried", "'6000:chattering'"}},
                            });
}

TEST_CASE("options that contradict each other are refused") {
  const QuietFile file;
  check_refused(
      file.bench,
      {
          {file.with({"--min-rpm", "9000", "--max-rpm", "8000"}), {"--min-rpm", "9000", "--max-rpm", "8000"}},
          {file.with({"--diameter-mm", "12", "--radial-mm", "13"}), {"--radial-mm", "13", "--diameter-mm", "12"}},
          {file.with({"--pitch-deg", "70,110,180"}), {"--pitch-deg", "3 angles", "360"}},
          {file.with({"--pitch-deg", "70,110,70,100"}), {"--pitch-deg", "350", "360"}},
          {file.with({"--pitch-deg", "70,110,,70"}), {"--pitch-deg"}},
      });
}

TEST_CASE("what is needed must be there") {
  const QuietFile file;
  const auto refused = [&](const Words& words, const char* named) {
    INFO(named);
    CHECK(test::complaint_trouble(file.bench.hushmill(words), 2, {named}) == "");
  };
  refused({"review", file.path, "--flutes", "4"}, "--rpm");
  refused({"review", file.path, "--rpm", "6000"}, "--flutes");
  refused({"review", "--rpm", "6000", "--flutes", "4"}, "file");
  refused({"speeds", "--rpm", "6000", "--flutes", "4"}, "--chatter-hz");
  refused({"rig"}, "--out");
  refused({"watch", "--source", "recording", "--file", file.path, "--flutes", "4"}, "--rpm");
  refused({"watch", "--source", "recording", "--file", file.path, "--rpm", "6000"}, "--flutes");
  refused({"watch", "--source", "recording", "--rpm", "6000", "--flutes", "4"}, "recording");
  refused(file.with({"--diameter-mm"}), "--diameter-mm");
}

TEST_CASE("a file without its door, and a window that cannot be, are named") {
  const QuietFile file;
  CHECK(test::complaint_trouble(file.bench.hushmill({"watch", "--file", file.path, "--rpm", "6000", "--flutes", "4"}), 2,
                                {"--file", "the sound comes from the microphone", "--source recording with it would be right"}) == "");
  CHECK(test::complaint_trouble(file.bench.hushmill({"--source", "rig", "--size", "10x10"}), 2, {"--size is '10x10'", "640x360 to 7680x4320"}) == "");
  CHECK(test::complaint_trouble(file.bench.hushmill({"--source", "rig", "--size", "big"}), 2, {"--size is 'big'", "1280x720"}) == "");
}

TEST_CASE("unknown commands, unknown options and words too many are named") {
  const QuietFile file;
  const auto refused = [&](const Words& words, const char* named) {
    INFO(named);
    CHECK(test::complaint_trouble(file.bench.hushmill(words), 2, {named}) == "");
  };
  refused({"listen"}, "'listen' is no command; watch, review, speeds");
  refused({"revew", file.path}, "'revew' is no command; review would be right; see hushmill --help");
  refused({"--sorce", "rig"}, "'--sorce' is no option of hushmill; --source would be right; see hushmill --help");
  refused({"review", file.path, "--rmp", "6000"},
          "'--rmp' is no option of hushmill review; --rpm would be right; see hushmill review --help");
  refused(file.with({"--loudness", "4"}), "'--loudness' is no option of hushmill review; see hushmill review --help");
  refused(file.with({"second.wav"}),
          "'second.wav' is one word too many for hushmill review; hushmill review FILE would be right; see hushmill review --help");
  // An option of the dashboard's before a command would be read and not heeded.
  refused({"--source", "rig", "watch", "--for-s", "1"}, "--source before the command is the dashboard's; hushmill watch --source ... would be right");
  refused({"--dark", "review", file.path, "--rpm", "6000", "--flutes", "4"}, "--dark before the command is the dashboard's; hushmill review without it would be right");
  refused({"rig"}, "see hushmill rig --help");
  refused(file.with({"--rpm", "7000"}), "--rpm");
}

TEST_CASE("the commands without sound refuse bad numbers too") {
  const test::BenchFolder bench;
  const std::string out = bench.path("x.wav");
  check_refused(bench,
                {
                    {{"speeds", "--chatter-hz", "0", "--rpm", "6000", "--flutes", "4"}, {"--chatter-hz", "'0'"}},
                    {{"speeds", "--chatter-hz", "nan", "--rpm", "6000", "--flutes", "4"}, {"--chatter-hz", "'nan'"}},
                    {{"speeds", "--chatter-hz", "1250", "--rpm", "9", "--flutes", "4"}, {"--rpm", "'9'"}},
                    {{"rig", "--out", out, "--for-s", "0"}, {"--for-s", "'0'"}},
                    {{"rig", "--out", out, "--seed", "-1"}, {"--seed", "'-1'"}},
                    {{"rig", "--out", out, "--sample-rate-hz", "8000"}, {"--sample-rate-hz", "'8000'", "16000"}},
                    {{"rig", "--out", out, "--depth-at", "3"}, {"--depth-at", "'3'"}},
                    {{"rig", "--out", bench.path("x.mp3")}, {"x.mp3", ".wav"}},
                    {{"watch", "--source", "rig", "--for-s", "abc"}, {"--for-s", "'abc'"}},
                });
}

TEST_CASE("help and version are asked for and not complained about") {
  const test::BenchFolder bench;
  for (const Words& words :
       {Words{"--help"}, Words{"review", "--help"}, Words{"speeds", "--help"}, Words{"--version"}}) {
    const auto run = bench.hushmill(words);
    CHECK(run.code == 0);
    CHECK(run.err.empty());
    CHECK(run.out.find(words.back() == "--version" ? "hushmill 0." : "--") != std::string::npos);
  }
}

TEST_CASE("ranges and taps refuse what is none") {
  const test::BenchFolder bench;
  const auto with = [](const Words& more) {
    Words words{"speeds", "--chatter-hz", "940", "--rpm", "8000", "--flutes", "4"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
  };
  std::vector<Case> cases;
  for (const char* range : {"120", "120:50", "a:b", "50:nan", ":", "0:100", "50:100:150"})
    cases.push_back({with({"--override-range", range}), {"--override-range"}});
  for (const char* range : {"450", "450:150", "nan:450", "-1:450"})
    cases.push_back({with({"--diameter-mm", "12", "--surface-m-min", range}), {"--surface-m-min"}});
  cases.push_back({with({"--surface-m-min", "150:450"}), {"--surface-m-min", "--diameter-mm"}});
  for (const char* hz : {"0", "nan", "inf", "many", "1e9"}) {
    cases.push_back({with({"--tap-tool", hz}), {"--tap-tool", hz}});
    cases.push_back({with({"--tap-part", hz}), {"--tap-part", hz}});
  }
  cases.push_back({with({"--min-rpm", "9000", "--holder-max-rpm", "8000"}), {"--min-rpm", "--holder-max-rpm"}});
  check_refused(bench, cases);
}

TEST_CASE("what is given twice, excludes another or is no word of its command is said of the command that it stands at") {
  const QuietFile file;
  const std::string& out = file.path;
  check_refused(file.bench,
                {
                    {file.with({"--rpm", "6100"}), {"--rpm is given twice", "see hushmill review --help"}},
                    {{"review", file.path, "--flutes", "4"}, {"--rpm is missing", "--rpm RPM"}},
                    {{"journal"}, {"a command is missing", "list, show", "see hushmill journal --help"}},
                    {{"journal", "lists"}, {"'lists' is no command of hushmill journal", "list would be right"}},
                    {{"journal", "show"}, {"session is missing", "see hushmill journal show --help"}},
                    {{"journal", "list", "--recording"}, {"'--recording' is no option of hushmill journal list", "--recordings would be right"}},
                    {{"journal", "delete", "--session", "1", "--recording", "1"}, {"--session and --recording are both given"}},
                    {{"journal", "prune", "--no-rule", "--dry-run"}, {"--no-rule", "--dry-run", "both given"}},
                    {{"rig", "--scene", "tray-pocket", "--setup", "a.toml", "--out", out}, {"--scene and --setup are both given"}},
                    {{"lobes", "a.toml", "--csv", "--json"}, {"--csv and --json are both given"}},
                    {{"--light", "--dark"}, {"--light and --dark are both given"}},
                    {{"speeds", "--chatter-hz", "940", "--rpm", "8000", "--flutes", "4", "--override-range", "120:50"}, {"the lower end first, 50:120,"}},
                    {{"lobes", file.bench.path(".")}, {"is a folder"}},
                    {{"--screenshot", "screen.jpg"}, {"'screen.jpg'", ".png"}},
                });
}

TEST_CASE("what would do nothing in the chosen way is refused, not passed over") {
  const QuietFile file;
  const std::string& sound = file.path;
  const std::string out = file.bench.path("new.wav");
  check_refused(file.bench,
                {
                    {{"tap", sound, "--taps", "5"}, {"--taps does nothing here", "--source microphone"}},
                    {{"tap", sound, "--device", "x"}, {"--device does nothing here", "--source microphone"}},
                    {{"tap", sound, "--cautions-read"}, {"--cautions-read does nothing here", "--window"}},
                    {{"tap", sound, "--size", "800x600"}, {"--size does nothing here", "--window"}},
                    {{"microphone", sound, "--no-tone"}, {"--no-tone does nothing here", "microphone"}},
                    {{"watch", "--source", "rig", "--device", "x"}, {"--device does nothing here", "--source microphone"}},
                    {{"watch", "--source", "recording", "--file", sound, "--rpm", "6000", "--flutes", "4", "--depth-at", "5:3"}, {"--depth-at does nothing here", "--source rig"}},
                    {{"watch", "--rpm", "6000", "--flutes", "4", "--stick-out-mm", "40"}, {"--stick-out-mm does nothing here", "--source rig"}},
                    {{"rig", "--out", out, "--for-s", "3", "--depth-at", "5:3"}, {"--for-s is 3", "at 5 s"}},
                    {{"report", "--session", "1", "--rpm", "6000", "--out", file.bench.path("a.html")}, {"--rpm does nothing here", "a recording"}},
                    {{"report", "--session", "1", "--channel", "left", "--out", file.bench.path("a.html")}, {"--channel does nothing here"}},
                    {{"lesson", "--out", out, "--full-screen"}, {"--full-screen does nothing here", "the window"}},
                });
}

TEST_CASE("the name of a file to write is looked at before the work") {
  const QuietFile file;
  const auto nowhere = [&](const std::string& name) { return file.bench.path("nowhere/" + name); };
  const std::vector<std::string> no_folder{"there is no folder", "nowhere"};
  check_refused(file.bench,
                {
                    {{"rig", "--out", nowhere("a.wav")}, no_folder},
                    {{"lobes", "a.toml", "--out", nowhere("a.svg")}, {"a.toml"}},
                    {{"lobes", HUSHMILL_SOURCE_DIR "/config/bracket-wall.toml", "--out", nowhere("a.svg")}, no_folder},
                    {{"report", file.path, "--rpm", "6000", "--flutes", "4", "--out", nowhere("a.html")}, no_folder},
                    {{"lesson", "--out", nowhere("a.flac")}, no_folder},
                    {{"tap", file.path, "--for", "tool", "--save", nowhere("a.toml")}, no_folder},
                    {{"journal", "export", "sessions", "--out", nowhere("a.csv")}, no_folder},
                    {{"--source", "rig", "--screenshot", nowhere("a.png")}, no_folder},
                    {{"report", file.path, "--rpm", "6000", "--flutes", "4", "--out", file.bench.path("a.txt")}, {"a.txt", "a name that ends in .html or .pdf would be right"}},
                    {{"rig", "--out", file.bench.path("a")}, {"a name that ends in .wav or .flac would be right"}},
                    {{"journal", "export", "sessions", "--out", file.bench.path("a.xml")}, {"a.xml", "a name that ends in .csv or .json would be right"}},
                });
}

TEST_CASE("what standard output does not take is no success") {
  const test::BenchFolder bench;
  const auto said = bench.path("said.txt");
  const std::string command = HUSHMILL_PROGRAM " speeds --chatter-hz 1250 --rpm 6000 --flutes 4 >/dev/full 2>" + said;
  const int status = std::system(command.c_str());
  CHECK(WEXITSTATUS(status) == 1);
  std::ifstream in(said);
  std::string line;
  std::getline(in, line);
  CHECK(line == "hushmill: standard output could not be written; one with space would be right");
}

TEST_CASE("of two faults the one in the word is told, and a value of parts is shown whole") {
  const QuietFile file;
  const std::vector<std::string> in_speeds{"speeds", "--chatter-hz", "940", "--rpm", "8000", "--flutes", "4"};
  const auto also = [&](const std::string& option, const std::string& value) {
    auto words = in_speeds;
    words.insert(words.end(), {option, value});
    return words;
  };
  check_refused(file.bench,
                {
                    {{"watch", "--rpm", "abc"}, {"--rpm is 'abc'"}},
                    {{"watch", "--flutes", "4"}, {"--rpm is missing"}},
                    {{"watch", "--source", "rig", "--for-s", "1", "--data", file.path}, {"--data is", "no folder"}},
                    {{"journal", "show", "abc"}, {"session is 'abc'", "a whole number"}},
                    {{"journal", "note", "1", " "}, {"the remark is empty"}},
                    {{"journal", "show", "1", "2"}, {"'2' is one word too many", "hushmill journal show N would be right"}},
                    {file.with({"--rpm-at", "x:6000"}), {"--rpm-at is 'x:6000'", "10 to 200000"}},
                    {file.with({"--rpm-at", "5:6"}), {"--rpm-at is '5:6'", "10 to 200000"}},
                    {also("--override-range", "a:120"), {"--override-range is 'a:120'", "1 to 500"}},
                    {also("--pitch-deg", "80,x,80,100"), {"--pitch-deg is '80,x,80,100'", "1 to 359"}},
                });
}
