// The one place that goes past standard C++ and libraries that run everywhere; tests/house keeps it so. A port gives each
// of these its own body; what is said under "without" is a correct port, too.
#pragma once

#include <ctime>
#include <filesystem>
#include <optional>
#include <vector>

namespace hushmill::platform {

/// Returns when what was written to this file, or the names in this folder, are on the disk; false when the system
/// cannot say so. May take long: never from the audio or listening thread. Without: false, and the sound is only as safe
/// from a power cut as the system's own habit of writing.
bool sync_to_disk(const std::filesystem::path& file) noexcept;

/// Makes a file that nobody but the user may read or write, from its first moment on and whatever the process's mask; one
/// that is there already keeps what it holds and loses the others' rights. False when it cannot be had or closed. Without:
/// made as any file, closed as the folder that it lies in (on Windows a person's own folders are). [not the audio thread]
bool make_own_file(const std::filesystem::path& file) noexcept;
/// The same for a folder and those above it that are missing. One that is there already is closed only when its name says
/// that it is this program's ("hushmill", "recordings"): another was the person's before. False when there is none afterwards.
bool make_own_folder(const std::filesystem::path& folder) noexcept;

/// Where programs keep what is a person's, each in a folder of its own name: what was made (the journal), what was set, and
/// what a program remembers of itself. By the XDG Base Directory Specification (version 0.8, 2021) $XDG_DATA_HOME or
/// $HOME/.local/share; $XDG_CONFIG_HOME or $HOME/.config; $XDG_STATE_HOME or $HOME/.local/state. On Windows
/// %LOCALAPPDATA%, %APPDATA% and %LOCALAPPDATA%. None when none of the two is set to an absolute path.
std::optional<std::filesystem::path> data_home();
std::optional<std::filesystem::path> settings_home();
std::optional<std::filesystem::path> state_home();

/// The file of the running program, so that what is installed beside it is found though it was moved. Without: none.
std::optional<std::filesystem::path> program_file();

/// Where fonts usually lie, the person's own first; they need not exist.
std::vector<std::filesystem::path> font_folders();

/// The hour by the wall, where this machine stands, in memory of the caller's own: std::localtime has one for all threads.
/// None when it cannot be told. Without: none, and times are shown in UTC.
std::optional<std::tm> local_time(std::time_t seconds) noexcept;

/// Sound systems write their own remarks to the C library's standard error: ALSA for every plug-in that is not there,
/// JACK that its server is not running, PortAudio (from the audio thread) when a device goes away. They help nobody and
/// would spoil the terminal monitor. While at least one of these lives, lines on the C library's `stderr` that begin as
/// such remarks do are left out, whichever thread writes them; all other lines pass. Keep one for as long as a device is
/// open. Never fails: when it does not work, the remarks are simply seen. Without: nothing is left out. [any thread but
/// the audio thread]
class QuietSoundSystem {
 public:
  QuietSoundSystem() noexcept;
  ~QuietSoundSystem();
  QuietSoundSystem(const QuietSoundSystem&) = delete;
  QuietSoundSystem& operator=(const QuietSoundSystem&) = delete;
};

/// As above, and besides leaves out every line that this thread writes: for the length of one call into a sound system,
/// whose remarks while it opens a device are of many kinds.
class QuietCall {
 public:
  QuietCall() noexcept;
  ~QuietCall();
  QuietCall(const QuietCall&) = delete;
  QuietCall& operator=(const QuietCall&) = delete;

 private:
  QuietSoundSystem quiet_;
};

}  // namespace hushmill::platform
