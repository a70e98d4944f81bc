// A recording belongs to the user alone from its first moment, even when the process's mask would let everybody in.
#include <sys/stat.h>

#include <filesystem>
#include <vector>

#include "capture/pack_flac.hpp"
#include "capture/synced_wav.hpp"
#include "support/catch.hpp"
#include "support/temporary_folder.hpp"

using namespace hushmill;
namespace fs = std::filesystem;

namespace {

/// POSIX.1-2017, umask: 0 takes no right away from what a program makes.
class OpenToAll {
 public:
  OpenToAll() : before_(umask(0)) {}
  ~OpenToAll() { umask(before_); }
  OpenToAll(const OpenToAll&) = delete;
  OpenToAll& operator=(const OpenToAll&) = delete;

 private:
  mode_t before_;
};

unsigned rights(const fs::path& path) { return static_cast<unsigned>(fs::status(path).permissions()); }

}  // namespace

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
