#include "platform/platform.hpp"

// Also says whether this is the GNU C library.
#include <cstdio>
#include <cstdlib>

#ifdef _WIN32
#ifndef NOMINMAX
#define NOMINMAX  // or its min and max hide those of C++
#endif
#include <fcntl.h>
#include <io.h>
#include <windows.h>
#else
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#endif

#include <algorithm>
#include <array>
#include <cstddef>
#include <mutex>
#include <string_view>
#include <system_error>

namespace hushmill::platform {

namespace fs = std::filesystem;

namespace {

/// A relative path counts as not set, as the XDG specification asks. The variable's name is in the system's own letters.
std::optional<fs::path> absolute_from(const fs::path::value_type* variable) {
#ifdef _WIN32
  const wchar_t* value = _wgetenv(variable);
#else
  const char* value = std::getenv(variable);  // NOLINT(concurrency-mt-unsafe): nothing here sets variables
#endif
  if (value == nullptr) return std::nullopt;
  fs::path folder(value);
  if (!folder.is_absolute()) return std::nullopt;
  return folder;
}

// Only where there is none yet, as closed as the system can from the first moment.
bool make_new_file(const fs::path& file) noexcept;
bool make_new_folder(const fs::path& folder) noexcept;

}  // namespace

bool make_own_file(const fs::path& file) noexcept try {
  std::error_code error;
  if (!make_new_file(file) && !fs::is_regular_file(file, error)) return false;
  fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write, error);
  return !error;
} catch (...) {
  return false;
}

bool make_own_folder(const fs::path& folder) noexcept try {
  if (folder.empty()) return true;  // the present one
  std::error_code error;
  const auto name = folder.filename();
  const bool new_one = !fs::exists(folder, error);
  if (new_one) {
    if (folder.has_parent_path() && folder.parent_path() != folder && !make_own_folder(folder.parent_path())) return false;
    if (!name.empty()) make_new_folder(folder);
  }
  if ((new_one && !name.empty()) || name == "hushmill" || name == "recordings") fs::permissions(folder, fs::perms::owner_all, error);
  return fs::is_directory(folder, error);
} catch (...) {
  return false;
}

#ifdef _WIN32

namespace {

bool make_new_file(const fs::path& file) noexcept {
  const HANDLE made = CreateFileW(file.c_str(), GENERIC_WRITE, 0, nullptr, CREATE_NEW, FILE_ATTRIBUTE_NORMAL, nullptr);
  if (made == INVALID_HANDLE_VALUE) return false;
  CloseHandle(made);
  return true;
}

bool make_new_folder(const fs::path& folder) noexcept { return CreateDirectoryW(folder.c_str(), nullptr) != 0; }

}  // namespace

bool sync_to_disk(const fs::path& file) noexcept {
  // Windows flushes only what is open for writing, and the names in a folder with their files.
  const int opened = _wopen(file.c_str(), _O_RDWR | _O_BINARY | _O_NOINHERIT);
  if (opened < 0) return false;
  const bool done = _commit(opened) == 0;
  _close(opened);
  return done;
}

std::optional<std::tm> local_time(std::time_t seconds) noexcept {
  std::tm local{};
  return localtime_s(&local, &seconds) == 0 ? std::optional(local) : std::nullopt;
}

std::optional<fs::path> data_home() { return absolute_from(L"LOCALAPPDATA"); }
std::optional<fs::path> settings_home() { return absolute_from(L"APPDATA"); }
std::optional<fs::path> state_home() { return absolute_from(L"LOCALAPPDATA"); }

std::optional<fs::path> program_file() {
  std::array<wchar_t, 32768> name{};  // the longest that Windows has
  const DWORD length = GetModuleFileNameW(nullptr, name.data(), static_cast<DWORD>(name.size()));
  if (length == 0 || length >= name.size()) return std::nullopt;
  return fs::path(name.data(), name.data() + length);
}

std::vector<fs::path> font_folders() {
  std::vector<fs::path> folders;
  if (const auto own = absolute_from(L"LOCALAPPDATA")) folders.push_back(*own / "Microsoft/Windows/Fonts");
  if (const auto windows = absolute_from(L"SystemRoot")) folders.push_back(*windows / "Fonts");
  return folders;
}

#else

namespace {

std::optional<fs::path> home_of(const char* variable, const char* below_home) {
  if (auto named = absolute_from(variable)) return named;
  if (const auto home = absolute_from("HOME")) return *home / below_home;
  return std::nullopt;
}

bool make_new_file(const fs::path& file) noexcept {
  const int made = open(file.c_str(), O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, S_IRUSR | S_IWUSR);
  if (made < 0) return false;
  close(made);
  return true;
}

bool make_new_folder(const fs::path& folder) noexcept { return mkdir(folder.c_str(), S_IRWXU) == 0; }

}  // namespace

bool sync_to_disk(const fs::path& file) noexcept {
  // Whichever way a file was opened, a sync puts all of it down (POSIX.1-2017, fsync).
  const int opened = open(file.c_str(), O_RDONLY | O_CLOEXEC);
  if (opened < 0) return false;
  const bool done = fsync(opened) == 0;
  close(opened);
  return done;
}

std::optional<std::tm> local_time(std::time_t seconds) noexcept {
  std::tm local{};
  return localtime_r(&seconds, &local) != nullptr ? std::optional(local) : std::nullopt;
}

std::optional<fs::path> data_home() { return home_of("XDG_DATA_HOME", ".local/share"); }
std::optional<fs::path> settings_home() { return home_of("XDG_CONFIG_HOME", ".config"); }
std::optional<fs::path> state_home() { return home_of("XDG_STATE_HOME", ".local/state"); }

std::optional<fs::path> program_file() {
  std::error_code error;
  fs::path file = fs::read_symlink("/proc/self/exe", error);
  if (error) return std::nullopt;
  return file;
}

std::vector<fs::path> font_folders() {
  std::vector<fs::path> folders;
  if (const auto home = absolute_from("HOME")) {
    for (const char* folder : {".local/share/fonts", ".fonts", "Library/Fonts"}) folders.push_back(*home / folder);
  }
  for (const char* folder : {"/usr/local/share/fonts", "/usr/share/fonts", "/Library/Fonts"}) folders.emplace_back(folder);
  return folders;
}

#endif

#ifdef __GLIBC__

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

QuietCall::QuietCall() noexcept { ++quiet_calls; }

QuietCall::~QuietCall() {
  fflush(stderr);
  --quiet_calls;
}

#else

QuietSoundSystem::QuietSoundSystem() noexcept {}
QuietSoundSystem::~QuietSoundSystem() {}
QuietCall::QuietCall() noexcept {}
QuietCall::~QuietCall() {}

#endif

}  // namespace hushmill::platform
