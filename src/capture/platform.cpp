#include "capture/platform.hpp"

// Also says whether this is the GNU C library.
#include <cstdio>

#ifdef __GLIBC__

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <mutex>
#include <string_view>

namespace hushmill::capture {
namespace {

// The stream belongs to the process, so the count does too.
std::mutex quiet_mutex;
int quiet_count = 0;
FILE* kept_errors = nullptr;
thread_local int quiet_calls = 0;

bool is_remark(std::string_view line) {
  constexpr std::array<std::string_view, 5> kBeginnings = {"ALSA lib ", "Expression '", "Cannot connect to server ",
                                                           "jack server is not running", "JackShm"};
  return std::any_of(kBeginnings.begin(), kBeginnings.end(),
                     [line](std::string_view beginning) { return line.starts_with(beginning); });
}

/// Gets whole lines, for the stream is line-buffered.
ssize_t pass_on(void*, const char* text, std::size_t size) {
  std::string_view rest(text, size);
  while (!rest.empty() && quiet_calls == 0) {
    const std::string_view line = rest.substr(0, std::min(rest.find('\n'), rest.size() - 1) + 1);
    rest.remove_prefix(line.size());
    if (is_remark(line)) continue;
    if (write(STDERR_FILENO, line.data(), line.size()) < 0) break;
  }
  return static_cast<ssize_t>(size);
}

/// Opened once and never closed: the audio thread may be printing to it at any moment.
FILE* filter() {
  static FILE* const stream = [] {
    FILE* opened = fopencookie(nullptr, "w", {.read = nullptr, .write = pass_on, .seek = nullptr, .close = nullptr});
    if (opened != nullptr) setvbuf(opened, nullptr, _IOLBF, BUFSIZ);
    return opened;
  }();
  return stream;
}

}  // namespace

// The GNU C library documents `stderr` as a variable that a program may set (The GNU C Library Reference Manual,
// "Standard Streams"). std::cerr holds on to the stream that it began with.
QuietSoundSystem::QuietSoundSystem() noexcept {
  const std::lock_guard lock(quiet_mutex);
  if (quiet_count++ > 0 || filter() == nullptr) return;
  kept_errors = stderr;
  stderr = filter();
}

QuietSoundSystem::~QuietSoundSystem() {
  const std::lock_guard lock(quiet_mutex);
  if (--quiet_count > 0 || kept_errors == nullptr) return;
  fflush(stderr);
  stderr = kept_errors;
  kept_errors = nullptr;
}

bool sync_to_disk(const std::filesystem::path& file) noexcept {
  // Whichever way a file was opened, a sync puts all of it down (POSIX.1-2017, fsync).
  const int opened = open(file.c_str(), O_RDONLY | O_CLOEXEC);
  if (opened < 0) return false;
  const bool done = fsync(opened) == 0;
  close(opened);
  return done;
}

QuietCall::QuietCall() noexcept { ++quiet_calls; }

QuietCall::~QuietCall() {
  fflush(stderr);
  --quiet_calls;
}

}  // namespace hushmill::capture

#else

namespace hushmill::capture {

bool sync_to_disk(const std::filesystem::path&) noexcept { return false; }

QuietSoundSystem::QuietSoundSystem() noexcept {}
QuietSoundSystem::~QuietSoundSystem() {}
QuietCall::QuietCall() noexcept {}
QuietCall::~QuietCall() {}

}  // namespace hushmill::capture

#endif
