// The sound devices of this computer, and how a person's words pick one of them.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace hushmill::capture {

struct AudioDevice {
  int number = 0;  ///< as listed; changes when devices come and go
  std::string name{};
  std::string system{};  ///< "ALSA", "JACK", …
  int inputs = 0;        ///< channels that can be recorded
  int outputs = 0;       ///< channels that can be played
  double default_rate_hz = 0;
  bool default_input = false;
  bool default_output = false;
};

enum class AudioDirection { input, output };

/// All devices, by number. Throws OutsideFailed when the sound system does not start. Takes some 10 ms.
/// [any thread but the audio thread]
std::vector<AudioDevice> audio_devices();

/// The device that `choice` names: its number, its whole name, or a part of its name that no other has; upper and lower
/// case are alike. Empty: the default device. Throws BadInput (with what there is to choose from) when nothing or more
/// than one thing fits, OutsideFailed when no device has that direction at all.
const AudioDevice& pick_device(std::span<const AudioDevice> devices, std::string_view choice, AudioDirection direction);

/// Rates worth trying, best first: the asked one, the device's own, 48000, 44100 and the rest that the engine takes.
/// Throws BadInput when the asked one lies outside 16 to 192 kHz.
std::vector<double> rates_to_try(double asked_hz, double device_default_hz);

}  // namespace hushmill::capture
