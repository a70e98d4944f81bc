// A microphone as a source: the audio thread copies into a ring, the listening thread reads from it.
//
// Delay: the device's own (latency_s, some 35 ms). The constructor throws BadInput for a device or a rate that cannot
// be right and OutsideFailed when the device cannot be had. When the device goes away while listening, ended() turns
// true and trouble() says so; reopen() then looks for the device of the same name.
#pragma once

#include <memory>
#include <string>

#include "capture/channel.hpp"
#include "capture/source.hpp"

namespace hushmill::capture {

struct MicrophoneSettings {
  std::string device{};           ///< number, name or part of a name, as audio_devices() lists them; empty: the default
  double sample_rate_hz = 48000;  ///< asked for; the device may only have another
  Channel channel = Channel::left;  ///< of a device with two or more
  double held_back_s = 2;           ///< sound kept for a listener that is late
};

class Microphone : public Source {
 public:
  explicit Microphone(const MicrophoneSettings& settings);
  ~Microphone() override;
  Microphone(const Microphone&) = delete;
  Microphone& operator=(const Microphone&) = delete;

  /// The rate that the device was opened at.
  double sample_rate_hz() const noexcept override;
  std::string name() const override;
  std::size_t read(std::span<float> samples) override;
  /// True while the device is gone; turns back after a reopen().
  bool ended() const noexcept override;
  /// Turned away by the full ring, reported lost by the device (at least), and, by the clock, missed while it was gone.
  std::uint64_t lost_samples() const noexcept override;
  std::optional<Gap> take_gap() override;
  std::string trouble() const override;
  SidesFault sides_fault() const noexcept override;
  bool reopen() override;
  void rest(bool on) override;

  double latency_s() const noexcept;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace hushmill::capture
