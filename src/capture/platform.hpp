// The one place in this folder that goes past standard C++.
//
// Sound systems write their own remarks to the C library's standard error: ALSA for every plug-in that is not there,
// JACK that its server is not running, PortAudio (from the audio thread) when a device goes away. They help nobody and
// would spoil the terminal monitor. What this program itself has to say must still come through. A port needs: a way to
// mute foreign code's writing to standard error. Doing nothing is a correct port.
#pragma once

namespace hushmill::capture {

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
