// The one place in this folder that goes past standard C++.
//
// Sound systems write their own remarks to the C library's standard error: ALSA for every plug-in that is not there,
// JACK that its server is not running, PortAudio (from the audio thread) when a device goes away. They help nobody and
// would spoil the terminal monitor. What this program itself has to say must still come through. A port needs: a way to
// mute foreign code's writing to standard error. Doing nothing is a correct port.
//
// The second door: putting a file onto the disk itself, so that a power cut cannot take it. A port needs its own way;
// without one the sound is only as safe as the system's own habit of writing.
#pragma once

#include <filesystem>

namespace hushmill::capture {

/// Returns when what was written to this file, or the names in this folder, are on the disk; false when the system
/// cannot say so. May take long: never from the audio or listening thread.
bool sync_to_disk(const std::filesystem::path& file) noexcept;

/// While at least one of these lives, lines on the C library's `stderr` that begin as sound systems' remarks do are
/// left out, whichever thread writes them; all other lines pass. Keep one for as long as a device is open. Never fails:
/// when it does not work, the remarks are simply seen. [any thread but the audio thread]
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

}  // namespace hushmill::capture
