// A recording belongs to the user alone from its first moment, even when the process's mask would let everybody in.
#include <filesystem>
#include <vector>

#include "capture/pack_flac.hpp"
#include "capture/synced_wav.hpp"
#include "support/catch.hpp"
#include "support/open_to_all.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
namespace fs = std::filesystem;
using test::OpenToAll;
using test::rights;

TEST_CASE("a recording is the user's alone while it grows, while it is packed and afterwards") {
  const OpenToAll open;
  const test::TemporaryFolder folder;
  const auto file = folder / "session.wav";
  {
    capture::SyncedWav wav(file, 48000);
    CHECK(rights(file) == 0600);
    wav.write(std::vector<float>(48000, 0.25F));
    wav.sync();
    CHECK(rights(file) == 0600);
    wav.close();
  }
  CHECK(rights(file) == 0600);
  capture::PackFlac pack(file);
  bool seen = false;
  do {
    for (const auto& entry : fs::directory_iterator(folder.path())) {
      CAPTURE(entry.path());
      CHECK(rights(entry.path()) == 0600);
      seen = seen || entry.path().extension() == ".flac";
    }
  } while (!pack.step());
  CHECK(seen);
  for (const auto& entry : fs::directory_iterator(folder.path())) CHECK(rights(entry.path()) == 0600);
}
