// What the program may do: files where the person pointed or under the folders of the XDG specification, closed to others;
// no network.
#include <csignal>
#include <filesystem>
#include <map>
#include <string>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"
#include "support/program_run.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using test::Words;
namespace fs = std::filesystem;

namespace {

Words under(const char* first, const Words& words) {
  Words all{first, HUSHMILL_PROGRAM};
  all.insert(all.end(), words.begin(), words.end());
  return all;
}

/// With a mask that lets everybody in, and folders of its own to work in and for temporary files: nothing may be left there.
test::ProgramRun run_open_to_all(const test::BenchFolder& bench, const Words& words) {
  Words all{"sh", "-c", "umask 000; cd \"$TMPDIR/../work\"; exec \"$@\"", "sh", HUSHMILL_PROGRAM};
  all.insert(all.end(), words.begin(), words.end());
  const std::string home = bench.path("home");
  for (const char* folder : {"home", "work", "tmp"}) fs::create_directory(bench.path(folder));
  return test::run_program(all,
                           {{"HOME", home}, {"TMPDIR", bench.path("tmp")}, {"XDG_DATA_HOME", home + "/data"}, {"XDG_STATE_HOME", home + "/state"}, {"XDG_CONFIG_HOME", home + "/settings"}},
                           std::chrono::seconds(120));
}

unsigned rights(const fs::path& path) { return static_cast<unsigned>(fs::status(path).permissions()); }

}  // namespace

TEST_CASE("what is kept of a session is the user's alone under any mask, and nothing lies outside the folders for it") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kHealthyWall);
  const auto keep = [&](const Words& more) {
    Words words{"watch", "--rpm", "6800", "--flutes", "4", "--journal"};
    words.insert(words.end(), more.begin(), more.end());
    const auto run = run_open_to_all(bench, words);
    CAPTURE(run.err);
    REQUIRE(run.code == 0);
  };
  keep({"--source", "rig", "--for-s", "1", "--record", "wav"});
  // What an older version left open is closed again.
  const fs::path data = bench.path("home/data/hushmill");
  fs::permissions(data, fs::perms::all);
  fs::permissions(data / "recordings", fs::perms::all);
  fs::permissions(data / "journal.sqlite", fs::perms(0666));
  keep({"--source", "rig", "--for-s", "1", "--record", "flac"});

  std::map<std::string, int> kinds;
  for (const auto& entry : fs::recursive_directory_iterator(bench.path("home"))) {
    CAPTURE(entry.path());
    CHECK(rights(entry.path()) == (entry.is_directory() ? 0700U : 0600U));
    if (!entry.is_directory()) ++kinds[entry.path().extension().string()];
  }
  CHECK(kinds[".sqlite"] == 1);
  CHECK(kinds[".wav"] + kinds[".flac"] == 2);
  for (const auto& entry : fs::directory_iterator(bench.path("home"))) CHECK(entry.path().filename() == "data");
  CHECK(fs::is_empty(bench.path("work")));
  CHECK(fs::is_empty(bench.path("tmp")));
}

TEST_CASE("a report and an export that the person asked for are ordinary files") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kHealthyWall);
  REQUIRE(run_open_to_all(bench, {"watch", "--source", "recording", "--file", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--journal"}).code == 0);
  REQUIRE(run_open_to_all(bench, {"report", "--session", "1", "--out", bench.path("r.html")}).code == 0);
  REQUIRE(run_open_to_all(bench, {"journal", "export", "events", "--out", bench.path("e.csv")}).code == 0);
  CHECK(rights(bench.path("r.html")) == 0666);
  CHECK(rights(bench.path("e.csv")) == 0666);
}

TEST_CASE("no command asks for a socket of a network") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kHealthyWall);
  const auto run = [&](const Words& words) {
    return test::run_program(words, {{"XDG_DATA_HOME", bench.path("data")}}, std::chrono::seconds(120)).code;
  };
  REQUIRE(run({HUSHMILL_NO_NETWORK}) == 128 + SIGSYS);  // the filter bites
  const std::string cut = bench.path("cut.wav");
  CHECK(run(under(HUSHMILL_NO_NETWORK, {"review", cut, "--rpm", "6800", "--flutes", "4"})) == 0);
  CHECK(run(under(HUSHMILL_NO_NETWORK, {"watch", "--source", "recording", "--file", cut, "--rpm", "6800", "--flutes", "4", "--journal"})) == 0);
  CHECK(run(under(HUSHMILL_NO_NETWORK, {"report", "--session", "1", "--out", bench.path("r.pdf")})) == 0);
  CHECK(run(under(HUSHMILL_NO_NETWORK, {"journal", "list"})) == 0);
}
