// Text from outside does no harm on the terminal: no control character, no turned direction of writing, wherever it stands.
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "app/bench_folder.hpp"
#include "support/catch.hpp"

using namespace hushmill;
using test::Words;

namespace {

// Red letters and a new window title (ISO/IEC 6429; the title as xterm takes it), the same begun by a single control character,
// writing turned round, a tag, a formula, a second line, a way out of the folder.
const std::string kHostile = "\x1b[31m\x1b]0;t\x07 \xC2\x9B" "1m\xE2\x80\xAE" "gnp \xE2\x81\xA6<script>x</script> =cmd|\r\n../../x";

/// Where a text would steer the terminal; empty when nowhere.
std::string steers(const std::string& text) {
  for (const char* mark : {"\xC2\x9B", "\xE2\x80\xAE", "\xE2\x81\xA6"}) {
    if (text.find(mark) != std::string::npos) return "a hidden mark in: " + text;
  }
  unsigned before = 0;
  for (const char c : text) {
    const auto code = static_cast<unsigned char>(c);
    if (before < 0x80 && code >= 0x80 && code <= 0xBF) return "a stray byte in: " + text;
    before = code;
    if ((code < 0x20 && c != '\n') || code == 0x7f) return "character " + std::to_string(code) + " in: " + text;
  }
  return {};
}

std::string both(const test::ProgramRun& run) { return run.out + run.err; }

}  // namespace

TEST_CASE("names with escapes do no harm on the terminal, in the report and in the table") {
  REQUIRE_FALSE(steers(kHostile).empty());
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kHealthyWall);
  const std::string data = bench.path("data");
  const auto watch = bench.hushmill({"watch", "--source", "recording", "--file", bench.path("cut.wav"), "--rpm", "6800", "--flutes", "4", "--journal", "--data", data,
                                     "--job", kHostile, "--machine", kHostile, "--tool", kHostile, "--hold", kHostile, "--material", kHostile});
  REQUIRE(watch.code == 0);
  CHECK(steers(both(watch)) == "");
  REQUIRE(bench.hushmill({"journal", "note", "1", kHostile, "--data", data}).code == 0);
  for (const Words& words : {Words{"journal", "list"}, {"journal", "show", "1"}, {"journal", "tool", kHostile, "1", "--name", kHostile, "--flutes", "4"}}) {
    Words all = words;
    all.insert(all.end(), {"--data", data});
    const auto run = bench.hushmill(all);
    CAPTURE(words[1], run.err);
    CHECK(steers(both(run)) == "");
  }
  const auto list = bench.hushmill({"journal", "list", "--data", data});
  CHECK(list.out.find("<script>") != std::string::npos);  // shown, not hidden

  // A document for a program says exactly what was typed, escaped as RFC 8259 asks.
  const auto shown = bench.json_of({"journal", "show", "1", "--data", data, "--json"});
  CHECK(shown.at("setups")[0].at("tool") == kHostile);

  REQUIRE(bench.hushmill({"report", "--session", "1", "--data", data, "--out", bench.path("r.html")}).code == 0);
  std::ostringstream read;
  read << std::ifstream(bench.path("r.html"), std::ios::binary).rdbuf();
  const std::string html = read.str();
  CHECK(html.find("<script") == std::string::npos);
  CHECK(steers(html) == "");
}

TEST_CASE("a file with a hostile name is heard, and complained of, in plain lines") {
  const test::BenchFolder bench;
  bench.simulate("cut.wav", test::kHealthyWall);
  const std::string name = "\x1b[31m \xE2\x80\xAE" "gnp \xC2\x9B" "1m.wav";
  std::filesystem::copy_file(bench.path("cut.wav"), bench.path(name));
  for (const std::string& file : {bench.path(name), bench.path("none " + name)}) {
    for (const Words& words : {Words{"review", file}, {"watch", "--source", "recording", "--no-journal", "--file", file}}) {
      Words all = words;
      all.insert(all.end(), {"--rpm", "6800", "--flutes", "4"});
      const auto run = bench.hushmill(all);
      CAPTURE(run.code, words[0]);
      CHECK(steers(both(run)) == "");
      CHECK(run.code == (file == bench.path(name) ? 0 : 2));
    }
  }
  CHECK(steers(both(bench.hushmill({"watch", "--" + kHostile}))) == "");
}

TEST_CASE("a set-up file and a file to write with hostile names are repeated in plain lines") {
  const test::BenchFolder bench;
  std::filesystem::copy(std::filesystem::path(HUSHMILL_SOURCE_DIR) / "config", bench.path("config"), std::filesystem::copy_options::recursive);
  const std::string hostile = bench.path("config/bracket-wall.toml");
  std::ostringstream read;
  read << std::ifstream(hostile).rdbuf();
  std::string text = read.str();
  const auto title = text.find("title = \"");
  REQUIRE(title != std::string::npos);
  // TOML 1.0 takes control characters in a text as escapes.
  text.insert(title + 9, "\\u001B[31m\\u009B1m\\u202E");
  std::ofstream(hostile) << text;
  const std::string out = bench.path("\x1b[31m \x9b" "1m");
  for (const Words& words : {Words{"lobes", hostile, "--method", "zero-order", "--speeds", "3"}, {"lobes", hostile, "--method", "zero-order", "--speeds", "3", "--out", out + ".svg"}, {"rig", "--scene", "bracket-wall", "--for-s", "1", "--out", out + ".wav"}}) {
    const auto run = bench.hushmill(words);
    CAPTURE(words[0], run.code, run.out, run.err);
    CHECK(steers(both(run)) == "");
    CHECK(run.code == 0);
  }
}
