// The one place in this folder that goes past standard C++.
//
// Sound systems write their own remarks to the C library's standard error: ALSA for every plug-in that is not there,
// JACK that its server is not running, PortAudio (from the audio thread) when a device goes away. They help nobody and
// would spoil the terminal monitor. What this program itself has to say goes through std::cerr and is not touched. A
// port needs: a way to mute foreign code's writing to standard error. Doing nothing is a correct port.
#pragma once

namespace hushmill::capture {

/// Mutes what is printed to the C library's `stderr`, in the whole process, while at least one of these lives.
/// std::cerr and the bare descriptor still speak. Never fails: when muting does not work, the remarks are simply seen.
/// [any thread but the audio thread]
class QuietErrors {
 public:
  QuietErrors() noexcept;
  ~QuietErrors();
  QuietErrors(const QuietErrors&) = delete;
  QuietErrors& operator=(const QuietErrors&) = delete;
};

}  // namespace hushmill::capture
