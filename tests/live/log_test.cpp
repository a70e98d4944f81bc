#include "live/log.hpp"

#include <sys/stat.h>

#include <chrono>
#include <cstdlib>
#include <optional>
#include <string>
#include <thread>

#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
using live::Log;

namespace {

std::string text_of(const std::filesystem::path& file) {
  const auto bytes = test::file_bytes(file);
  return {bytes.begin(), bytes.end()};
}

/// Sets an environment variable for the length of a test.
class Setting {
 public:
  Setting(const char* name, const char* value) : name_(name) {
    if (const char* before = std::getenv(name)) before_ = before;
    if (value != nullptr) {
      setenv(name, value, 1);
    } else {
      unsetenv(name);
    }
  }
  ~Setting() {
    if (before_) {
      setenv(name_, before_->c_str(), 1);
    } else {
      unsetenv(name_);
    }
  }
  Setting(const Setting&) = delete;
  Setting& operator=(const Setting&) = delete;

 private:
  const char* name_;
  std::optional<std::string> before_;
};

}  // namespace

TEST_CASE("lines stand in the file, in order, each on one line, when the log is closed") {
  const test::TemporaryFolder folder;
  {
    Log log(folder / "a/b");
    CHECK(log.trouble().empty());
    log.note("first");
    log.warn("a device called 'x\ny'");
    log.note("last {} %s");
  }
  const std::string text = text_of(folder / "a/b/hushmill.log");
  CHECK(text.find(" info first\n") != std::string::npos);
  CHECK(text.find(" warning a device called 'x y'\n") != std::string::npos);
  CHECK(text.find(" info last {} %s\n") != std::string::npos);
  CHECK(text.find("first") < text.find("last"));
  CHECK((std::filesystem::status(folder / "a/b").permissions() & std::filesystem::perms::others_all) ==
        std::filesystem::perms::none);
}

TEST_CASE("log files are the user's alone, whatever the mask and whoever left them, and names do not steer a terminal") {
  const mode_t before = umask(0);
  const test::TemporaryFolder folder;
  const std::string line(1000, 'x');
  std::filesystem::create_directory(folder / "hushmill");
  test::write_bytes(folder / "hushmill/hushmill.log", {'o', 'l', 'd', '\n'});
  const auto rights = [](const std::filesystem::path& path) { return static_cast<unsigned>(std::filesystem::status(path).permissions()); };
  REQUIRE(rights(folder / "hushmill/hushmill.log") == 0666);
  {
    Log log(folder / "hushmill");
    log.note("red \x1b[31m and turned \xE2\x80\xAE round");
    // More than one file full, a part at a time, since the log drops what comes too fast.
    for (int part = 0; part < 6; ++part) {
      for (int i = 0; i < 250; ++i) log.note(line);
      std::this_thread::sleep_for(std::chrono::milliseconds(100));
    }
  }
  umask(before);
  CHECK(rights(folder / "hushmill") == 0700);
  REQUIRE(std::filesystem::exists(folder / "hushmill/hushmill.1.log"));
  for (const auto& entry : std::filesystem::directory_iterator(folder / "hushmill")) {
    CAPTURE(entry.path());
    CHECK(rights(entry.path()) == 0600);
  }
  const std::string text = text_of(folder / "hushmill/hushmill.1.log");
  CHECK(text.find("old\n") == 0);
  CHECK(text.find("red ?[31m and turned ? round\n") != std::string::npos);
}

TEST_CASE("a log that cannot be written says why and hurts nobody") {
  const test::TemporaryFolder folder;
  test::write_bytes(folder / "file", {1});
  Log log(folder / "file");
  CHECK(log.trouble().find("nothing is logged") != std::string::npos);
  log.note("lost");
  log.warn("lost");
}

TEST_CASE("old lines are put aside, so that the log stays small") {
  const test::TemporaryFolder folder;
  {
    Log log(folder.path());
    const std::string line(3000, 'x');
    for (int i = 0; i < 2500; ++i) {
      log.note(line);
      // The writer drops lines rather than make anyone wait; here all are wanted.
      if (i % 100 == 99) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
  }
  std::size_t bytes = 0;
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder.path())) {
    bytes += entry.file_size();
    ++files;
  }
  CHECK(files == 3);
  CHECK(bytes < 3'300'000);
  CHECK(bytes > 1'500'000);
}

TEST_CASE("lines that come too fast are dropped, and the log says how many") {
  const test::TemporaryFolder folder;
  {
    Log log(folder.path());
    for (int i = 0; i < 20000; ++i) log.note("line");
  }
  const std::string text = text_of(folder / "hushmill.log");
  std::size_t written = 0;
  std::size_t dropped = 0;
  for (std::size_t at = 0; at < text.size(); at = text.find('\n', at) + 1) {
    const std::string line = text.substr(at, text.find('\n', at) - at);
    if (line.ends_with(" info line")) ++written;
    const auto count = line.find(" warning ");
    if (count != std::string::npos) dropped += std::stoul(line.substr(count + 9));
  }
  CHECK(written + dropped == 20000);
}

TEST_CASE("the state folder follows the XDG variables, and only absolute ones") {
  const Setting home("HOME", "/home/lathe");
  {
    const Setting state("XDG_STATE_HOME", "/var/mine");
    CHECK(live::state_folder() == std::filesystem::path("/var/mine/hushmill"));
  }
  {
    const Setting state("XDG_STATE_HOME", "relative");
    CHECK(live::state_folder() == std::filesystem::path("/home/lathe/.local/state/hushmill"));
  }
  const Setting state("XDG_STATE_HOME", nullptr);
  CHECK(live::state_folder() == std::filesystem::path("/home/lathe/.local/state/hushmill"));
  const Setting no_home("HOME", "");
  CHECK(live::state_folder() == std::nullopt);
}
