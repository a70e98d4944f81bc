// Catches what the process writes to standard error, by whichever way, while it lives.
#pragma once

#include <fcntl.h>
#include <unistd.h>

#include <cstdio>
#include <string>

#include "support/temporary_folder.hpp"

namespace hushmill::test {

class ErrorsToFile {
 public:
  ErrorsToFile() {
    std::fflush(stderr);
    kept_ = dup(STDERR_FILENO);
    const int file = open((folder_ / "errors").c_str(), O_WRONLY | O_CREAT | O_APPEND, 0600);
    dup2(file, STDERR_FILENO);
    close(file);
  }
  ~ErrorsToFile() {
    std::fflush(stderr);
    dup2(kept_, STDERR_FILENO);
    close(kept_);
  }
  ErrorsToFile(const ErrorsToFile&) = delete;
  ErrorsToFile& operator=(const ErrorsToFile&) = delete;

  std::string text() const {
    std::fflush(stderr);
    const auto bytes = file_bytes(folder_ / "errors");
    return {bytes.begin(), bytes.end()};
  }

 private:
  TemporaryFolder folder_;
  int kept_ = -1;
};

}  // namespace hushmill::test
