// A process whose mask would let everybody in, for tests that what is the user's own is closed all the same. POSIX only.
#pragma once

#include <sys/stat.h>

#include <filesystem>

namespace hushmill::test {

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

/// Rights as in a mode, such as 0600.
inline unsigned rights(const std::filesystem::path& path) {
  return static_cast<unsigned>(std::filesystem::status(path).permissions());
}

}  // namespace hushmill::test
