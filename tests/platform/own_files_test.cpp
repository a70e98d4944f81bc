// What belongs to the user alone is so from its first moment, even when the process's mask would let everybody in. Windows
// knows no such mask.
#ifndef _WIN32
#include <filesystem>
#include <fstream>

#include "platform/platform.hpp"
#include "support/catch.hpp"
#include "support/open_to_all.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
namespace fs = std::filesystem;
using test::OpenToAll;
using test::rights;

TEST_CASE("a file and its folders are made for the user alone, and one that stood open is closed with what it holds") {
  const OpenToAll open;
  const test::TemporaryFolder folder;
  std::ofstream(folder / "ordinary") << "x";
  REQUIRE(rights(folder / "ordinary") == 0666);  // the mask is really off

  REQUIRE(platform::make_own_folder(folder / "a" / "b"));
  CHECK(rights(folder / "a") == 0700);
  CHECK(rights(folder / "a" / "b") == 0700);
  REQUIRE(platform::make_own_file(folder / "a" / "new"));
  CHECK(rights(folder / "a" / "new") == 0600);

  REQUIRE(platform::make_own_file(folder / "ordinary"));
  CHECK(rights(folder / "ordinary") == 0600);
  CHECK(test::file_bytes(folder / "ordinary").size() == 1);

  CHECK_FALSE(platform::make_own_file(folder / "a"));             // a folder
  CHECK_FALSE(platform::make_own_file(folder / "none" / "file"));  // no folder
  CHECK_FALSE(platform::make_own_folder(folder / "ordinary"));     // a file
}

TEST_CASE("of folders that stand open only those of the program's own name are closed") {
  const OpenToAll open;
  const test::TemporaryFolder folder;
  for (const char* name : {"hushmill", "recordings", "documents"}) {
    fs::create_directory(folder / name);
    REQUIRE(rights(folder / name) == 0777);
    REQUIRE(platform::make_own_folder(folder / name));
  }
  CHECK(rights(folder / "hushmill") == 0700);
  CHECK(rights(folder / "recordings") == 0700);
  CHECK(rights(folder / "documents") == 0777);
}

#endif
