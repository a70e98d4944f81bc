#include "capture/platform.hpp"

#include <cstdio>

#ifdef __GLIBC__

#include <mutex>

namespace hushmill::capture {
namespace {

// The stream belongs to the process, so the count does too.
std::mutex quiet_mutex;
int quiet_count = 0;
std::FILE* kept_errors = nullptr;

/// Opened once and never closed: the audio thread may be printing to it at any moment.
std::FILE* nowhere() {
  static std::FILE* const file = std::fopen("/dev/null", "we");
  return file;
}

}  // namespace

// The GNU C library documents `stderr` as a variable that a program may set (The GNU C Library Reference Manual,
// "Standard Streams"). std::cerr holds on to the stream that it began with.
QuietErrors::QuietErrors() noexcept {
  const std::lock_guard lock(quiet_mutex);
  if (quiet_count++ > 0 || nowhere() == nullptr) return;
  kept_errors = stderr;
  stderr = nowhere();
}

QuietErrors::~QuietErrors() {
  const std::lock_guard lock(quiet_mutex);
  if (--quiet_count > 0 || kept_errors == nullptr) return;
  stderr = kept_errors;
  kept_errors = nullptr;
}

}  // namespace hushmill::capture

#else

namespace hushmill::capture {

QuietErrors::QuietErrors() noexcept {}
QuietErrors::~QuietErrors() {}

}  // namespace hushmill::capture

#endif
