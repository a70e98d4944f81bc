// What `cmake --install` puts into a prefix: all there, at work from there, and the manual page, completions and desktop entry
// know what the program knows.
#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "install/help_pages.hpp"
#include "support/catch.hpp"
#include "support/program_run.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;

namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

test::ProgramRun run(const Words& words, const fs::path& home) {
  return test::run_program(words, {{"HOME", home.string()}, {"XDG_STATE_HOME", home.string()}}, std::chrono::seconds(120));
}

// A prefix that is gone with the test.
class Prefix {
 public:
  Prefix() {
    installed_ = run({HUSHMILL_CMAKE, "--install", HUSHMILL_BUILD_DIR, "--prefix", path("prefix")}, folder_.path());
  }
  const test::ProgramRun& installed() const { return installed_; }
  std::string path(const fs::path& name) const { return (folder_ / name).string(); }
  std::string in(const fs::path& name) const { return (folder_ / "prefix" / name).string(); }
  // The installed program, from a folder that knows nothing of its sources.
  test::ProgramRun hushmill(const Words& more) const {
    Words words{"env", "-C", folder_.path().string(), in("bin/hushmill")};
    words.insert(words.end(), more.begin(), more.end());
    return run(words, folder_.path());
  }

 private:
  test::TemporaryFolder folder_;
  test::ProgramRun installed_;
};

std::string text_of(const std::string& file) {
  std::ostringstream text;
  text << std::ifstream(file, std::ios::binary).rdbuf();
  return text.str();
}

constexpr const char* kManual = "share/man/man1/hushmill.1";
constexpr const char* kBash = "share/bash-completion/completions/hushmill";
constexpr const char* kFish = "share/fish/vendor_completions.d/hushmill.fish";
constexpr const char* kEntry = "share/applications/hushmill.desktop";

// What bash offers for the last of these words.
std::set<std::string> offered(const Prefix& prefix, const Words& words) {
  Words all{"bash", "-c", R"(source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); COMPREPLY=(); _hushmill; printf '%s\n' "${COMPREPLY[@]}")", "bash", prefix.in(kBash), "hushmill"};
  all.insert(all.end(), words.begin(), words.end());
  const auto completed = run(all, prefix.path("."));
  REQUIRE(completed.code == 0);
  std::set<std::string> set;
  std::istringstream lines(completed.out);
  for (std::string line; std::getline(lines, line);)
    if (!line.empty()) set.insert(line);
  return set;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) text.replace(at, from.size(), to);
  return text;
}

// The part of the manual page that begins with this line, up to the next heading of its kind or above.
std::string section(const std::string& page, const std::string& heading) {
  const auto begin = page.find("\n" + heading);
  if (begin == std::string::npos) return {};
  const auto body = page.find('\n', begin + 1);
  auto end = page.find("\n.SH ", body);
  if (heading.rfind(".SS ", 0) == 0) end = std::min(end, page.find("\n.SS ", body));
  return page.substr(body, end - body);
}

// The options that a section lists: what is bold in the line after .TP.
std::set<std::string> listed_options(const std::string& text) {
  std::set<std::string> options;
  std::istringstream lines(text);
  bool head = false;
  for (std::string line; std::getline(lines, line); head = line == ".TP") {
    if (!head) continue;
    for (auto at = line.find("\\fB-"); at != std::string::npos; at = line.find("\\fB-", at + 1))
      options.insert(line.substr(at + 3, line.find("\\fR", at) - at - 3));
  }
  return options;
}

std::string named(const std::set<std::string>& words) {
  std::string text;
  for (const auto& word : words) text += word + " ";
  return text;
}

}  // namespace

TEST_CASE("what is installed is in its place and works from there") {
  const Prefix prefix;
  INFO(prefix.installed().err);
  REQUIRE(prefix.installed().code == 0);
  for (const char* file : {"bin/hushmill", kManual, kBash, kFish, kEntry, "share/icons/hicolor/scalable/apps/hushmill.svg",
                           "share/icons/hicolor/256x256/apps/hushmill.png", "share/doc/hushmill/copyright", "share/hushmill-examples/config/bracket-wall.toml",
                           "share/hushmill-examples/recordings/bracket-steady.flac"}) {
    INFO(file);
    CHECK(fs::is_regular_file(prefix.in(file)));
  }
  // Below ~/.local this is the journal's folder, for the user's eyes alone: the program makes it, nobody before.
  CHECK_FALSE(fs::exists(prefix.in("share/hushmill")));
  // Headers, libraries and pictures of the README are for nobody who only uses it.
  CHECK_FALSE(fs::exists(prefix.in("include")));
  CHECK_FALSE(fs::exists(prefix.in("lib")));
  CHECK_FALSE(fs::exists(prefix.in("share/hushmill-examples/recordings/pictures")));

  const auto version = prefix.hushmill({"--version"});
  CHECK(version.code == 0);
  CHECK(version.out.rfind("hushmill " HUSHMILL_PROJECT_VERSION "\nbuild ", 0) == 0);
  CHECK(std::count(version.out.begin(), version.out.end(), '\n') == 2);

  // A set-up by the name that the help gives, although this folder has none: the installed one is meant.
  const auto simulated = prefix.hushmill({"rig", "--setup", "config/bracket-wall.toml", "--for-s", "3", "--out", "cut.wav"});
  INFO(simulated.err);
  REQUIRE(simulated.code == 0);
  const auto review = prefix.hushmill({"review", "cut.wav", "--rpm", "6800", "--flutes", "4", "--json"});
  INFO(review.err);
  CHECK(review.code == 0);
  CHECK(review.out.find("\"duration_s\": 3.0") != std::string::npos);
  const auto missing = prefix.hushmill({"rig", "--setup", "config/no-such-wall.toml", "--for-s", "3", "--out", "cut.wav"});
  CHECK(missing.code == 2);
  CHECK(missing.err.find("config/no-such-wall.toml") != std::string::npos);
}

TEST_CASE("a folder's own set-up comes before the installed one of that name") {
  const Prefix prefix;
  REQUIRE(prefix.installed().code == 0);
  fs::create_directory(prefix.path("config"));
  std::ofstream(prefix.path("config/bracket-wall.toml")) << "title = 5\n";
  const auto run = prefix.hushmill({"rig", "--setup", "config/bracket-wall.toml", "--for-s", "1", "--out", "cut.wav"});
  CHECK(run.code == 2);
  CHECK(run.err.find("title") != std::string::npos);
}

TEST_CASE("manual page and completions hold every command and option that the help holds, and no others") {
  const Prefix prefix;
  REQUIRE(prefix.installed().code == 0);
  const auto manual = replaced(text_of(prefix.in(kManual)), "\\-", "-");
  const auto fish = text_of(prefix.in(kFish));
  const auto pages = test::help_pages(prefix.in("bin/hushmill"));
  REQUIRE(pages.size() > 15);
  for (const auto& page : pages) {
    const auto name = page.name();
    INFO("hushmill " << name);
    REQUIRE(page.options.count("--help") == 1);
    const auto listed = listed_options(section(manual, name.empty() ? ".SH OPTIONS" : ".SS hushmill " + name + " "));
    CHECK(named(listed) == named(page.options));

    auto words = page.command;
    words.emplace_back("-");
    CHECK(named(offered(prefix, words)) == named(page.options));
    if (!page.below.empty()) {
      words.back() = "";
      CHECK(named(offered(prefix, words)) == named(page.below));
    }
    for (const auto& option : page.options)
      if (option.rfind("--", 0) == 0) CHECK(fish.find(" -l " + option.substr(2) + " ") != std::string::npos);
    for (const auto& below : page.below) CHECK(fish.find(" -a '" + below + "' ") != std::string::npos);
  }
}

TEST_CASE("after an option bash offers what it takes") {
  const Prefix prefix;
  REQUIRE(prefix.installed().code == 0);
  CHECK(named(offered(prefix, {"rev"})) == "review ");
  CHECK(named(offered(prefix, {"--source", ""})) == "microphone recording rig ");
  CHECK(named(offered(prefix, {"--source", "=", "r"})) == "recording rig ");  // as bash parts --source=r
  CHECK(named(offered(prefix, {"--rpm", ""})).empty());
  CHECK(named(offered(prefix, {"journal", "export", "ep"})) == "episodes ");
  // A value that is spelt like a command is no command; a flag that is has no value.
  CHECK(offered(prefix, {"--job", "review", "re"}) == std::set<std::string>{"report", "review"});
  CHECK(offered(prefix, {"--journal", "re"}) == std::set<std::string>{"report", "review"});
  const auto file = prefix.in("share/hushmill-examples/config/rail-slot.toml");
  CHECK(offered(prefix, {"lobes", prefix.in("share/hushmill-examples/config/rail")}) == std::set<std::string>{file});
  CHECK(offered(prefix, {"watch", "--setup", prefix.in("share/hushmill-examples/config/rail")}) == std::set<std::string>{file});
}

TEST_CASE("the desktop entry and the manual page are well formed") {
  const Prefix prefix;
  REQUIRE(prefix.installed().code == 0);
  const auto entry = run({"desktop-file-validate", prefix.in(kEntry)}, prefix.path("."));
  INFO(entry.out << entry.err);
  CHECK(entry.code == 0);
  CHECK(entry.out.empty());
  // All warnings, nothing printed.
  const auto page = run({"groff", "-man", "-Tutf8", "-K", "utf8", "-ww", "-z", prefix.in(kManual)}, prefix.path("."));
  INFO(page.err);
  CHECK(page.code == 0);
  CHECK(page.err.empty());

  // Every word that the entry starts the program with is one that the program has.
  const auto pages = test::help_pages(prefix.in("bin/hushmill"));
  std::istringstream lines(text_of(prefix.in(kEntry)));
  int starts = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind("Exec=", 0) != 0) continue;
    ++starts;
    std::istringstream words(line.substr(5));
    std::string word;
    words >> word;
    CHECK(word == "hushmill");
    for (std::string before; words >> word; before = word) {
      INFO(line << ": " << word);
      if (word.rfind("-", 0) == 0)
        CHECK(pages.front().options.count(word) == 1);
      else if (before.empty())
        CHECK(pages.front().below.count(word) == 1);
    }
  }
  CHECK(starts == 3);
}

TEST_CASE("a help text is taken apart") {
  const auto page = test::read_help("Does it.\nUsage: x\n\nOptions:\n  -h,--help    Print --this\n  --rpm RPM    Speed\n               goes on\n\nSubcommands:\n  list         Sessions\n\nfooter\n  no-command\n");
  CHECK(named(page.options) == "--help --rpm -h ");
  CHECK(named(page.below) == "list ");
}
