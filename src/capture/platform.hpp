// The one place in this folder where the operating system is called past the standard library.
//
// Sound systems write their own remarks to standard error while they look for devices (ALSA for every plug-in that is
// not there, JACK that its server is not running). They help nobody and would spoil the terminal monitor.
// A port needs: a way to mute the process's standard error for a while. Doing nothing is a correct port.
#pragma once

namespace hushmill::capture {

/// Mutes standard error of the whole process while at least one of these lives. Never fails: when muting does not work,
/// the remarks are simply seen. Keep it short: other threads' words are lost too. [any thread but the audio thread]
class QuietErrors {
 public:
  QuietErrors() noexcept;
  ~QuietErrors();
  QuietErrors(const QuietErrors&) = delete;
  QuietErrors& operator=(const QuietErrors&) = delete;
};

}  // namespace hushmill::capture
