#include "capture/platform.hpp"

#ifdef __unix__

#include <fcntl.h>
#include <unistd.h>

#include <cstdio>
#include <mutex>

namespace hushmill::capture {
namespace {

std::mutex quiet_mutex;  // the descriptor belongs to the process, so its count does too
int quiet_count = 0;
int kept_errors = -1;

}  // namespace

QuietErrors::QuietErrors() noexcept {
  const std::lock_guard lock(quiet_mutex);
  if (quiet_count++ > 0) return;
  std::fflush(stderr);
  kept_errors = fcntl(STDERR_FILENO, F_DUPFD_CLOEXEC, STDERR_FILENO + 1);
  const int nowhere = open("/dev/null", O_WRONLY | O_CLOEXEC);
  if (kept_errors >= 0 && nowhere >= 0) dup2(nowhere, STDERR_FILENO);
  if (nowhere >= 0) close(nowhere);
}

QuietErrors::~QuietErrors() {
  const std::lock_guard lock(quiet_mutex);
  if (--quiet_count > 0 || kept_errors < 0) return;
  std::fflush(stderr);
  dup2(kept_errors, STDERR_FILENO);
  close(kept_errors);
  kept_errors = -1;
}

}  // namespace hushmill::capture

#else

namespace hushmill::capture {

QuietErrors::QuietErrors() noexcept {}
QuietErrors::~QuietErrors() {}

}  // namespace hushmill::capture

#endif
