#include "platform/platform.hpp"

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>
#include <string>
#include <thread>

#include "support/catch.hpp"
#include "support/temporary_folder.hpp"
#ifdef __GLIBC__
#include "support/errors_to_file.hpp"
#endif

using namespace hushmill;
namespace fs = std::filesystem;

namespace {

void set_variable(const char* name, const char* value) {
#ifdef _WIN32
  _putenv_s(name, value == nullptr ? "" : value);
#else
  value == nullptr ? unsetenv(name) : setenv(name, value, 1);
#endif
}

/// Sets an environment variable for the length of a test.
class Variable {
 public:
  Variable(const char* name, const char* value) : name_(name) {
    if (const char* before = std::getenv(name)) before_ = before;
    set_variable(name, value);
  }
  ~Variable() { set_variable(name_, before_ ? before_->c_str() : nullptr); }
  Variable(const Variable&) = delete;
  Variable& operator=(const Variable&) = delete;

 private:
  const char* name_;
  std::optional<std::string> before_;
};

}  // namespace

TEST_CASE("a file that is there, closed or still being written, is put onto the disk; one that is not there is not") {
  const test::TemporaryFolder folder;
  std::ofstream file(folder / "söund", std::ios::binary);
  file << "kept" << std::flush;
  CHECK(platform::sync_to_disk(folder / "söund"));
  file.close();
  CHECK(platform::sync_to_disk(folder / "söund"));
  CHECK_FALSE(platform::sync_to_disk(folder / "none"));
#ifndef _WIN32
  CHECK(platform::sync_to_disk(folder.path()));
#endif
}

TEST_CASE("the running program knows its place") {
  const auto program = platform::program_file();
  REQUIRE(program);
  CHECK(program->is_absolute());
  CHECK(program->stem() == "test_platform");
  CHECK(fs::exists(*program));
}

TEST_CASE("a person's folders are those that the environment names, and no relative path is taken") {
#ifdef _WIN32
  const Variable local("LOCALAPPDATA", "C:\\mine\\local"), roaming("APPDATA", "C:\\mine\\roaming");
  CHECK(platform::data_home() == fs::path("C:\\mine\\local"));
  CHECK(platform::state_home() == fs::path("C:\\mine\\local"));
  CHECK(platform::settings_home() == fs::path("C:\\mine\\roaming"));
  _wputenv_s(L"APPDATA", L"C:\\J\u00fcrgen\u4f60");
  CHECK(platform::settings_home() == fs::path(L"C:\\J\u00fcrgen\u4f60"));
  const Variable relative("LOCALAPPDATA", "mine"), none("APPDATA", nullptr);
  CHECK_FALSE(platform::data_home());
  CHECK_FALSE(platform::settings_home());
#else
  // The names and places are those of the XDG Base Directory Specification, version 0.8.
  const Variable home("HOME", "/mine"), data("XDG_DATA_HOME", "/data"), settings("XDG_CONFIG_HOME", "relative"), state("XDG_STATE_HOME", nullptr);
  CHECK(platform::data_home() == fs::path("/data"));
  CHECK(platform::settings_home() == fs::path("/mine/.config"));
  CHECK(platform::state_home() == fs::path("/mine/.local/state"));
  const Variable no_home("HOME", nullptr);
  CHECK(platform::data_home() == fs::path("/data"));
  CHECK_FALSE(platform::settings_home());
  CHECK_FALSE(platform::state_home());
#endif
}

TEST_CASE("fonts are looked for in whole paths") {
  const auto folders = platform::font_folders();
  REQUIRE_FALSE(folders.empty());
  for (const auto& folder : folders) CHECK(folder.is_absolute());
}

#ifdef __GLIBC__

using platform::QuietCall;
using platform::QuietSoundSystem;
using test::ErrorsToFile;

TEST_CASE("remarks of sound systems are left out, from any thread and in any pieces, and all else passes") {
  const ErrorsToFile errors;
  {
    const QuietSoundSystem quiet;
    {
      const QuietSoundSystem nested;
      std::fprintf(stderr, "ALSA lib pcm.c:%d:(", 123);
      std::fprintf(stderr, "snd_pcm_open) Unknown PCM %s", "front");
      std::fputs("\n", stderr);
    }
    std::fprintf(stderr, "Expression 'x' failed in 'y'\nhushmill: a word of ours\nExpression 'z' failed\n");
    std::thread([] { std::fputs("Expression 'in the audio thread' failed\n", stderr); }).join();
    std::fputs("terminate called\n", stderr);
    std::cerr << "std::cerr, too\n";
    std::fputs("no line end", stderr);
  }
  std::fputs("\nALSA lib is heard again\n", stderr);
  CHECK(errors.text() ==
        "hushmill: a word of ours\nterminate called\nstd::cerr, too\nno line end\nALSA lib is heard again\n");
}

TEST_CASE("during a call into a sound system, this thread's lines are left out and other threads' are not") {
  const ErrorsToFile errors;
  {
    const QuietCall quiet;
    std::fputs("a remark of a new kind\n", stderr);
    std::thread([] { std::fputs("another thread's word\n", stderr); }).join();
    std::fputs("a remark without an end", stderr);
  }
  std::fputs("after\n", stderr);
  CHECK(errors.text() == "another thread's word\nafter\n");
}

#endif
