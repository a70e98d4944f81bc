// Lets the rig or a recording be heard. The listening thread pushes samples and never waits; the audio thread plays
// them.
//
// Delay: about 60 ms and the device's own. Too much is dropped, too little is silence, both counted. The constructor
// throws BadInput for a device that is not there, OutsideFailed when it cannot be had at that rate.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "capture/audio_stream.hpp"
#include "capture/outlet.hpp"

namespace hushmill::capture {

class Loudspeaker {
 public:
  /// `device` as for a microphone: number, name, part of a name, or empty for the default.
  explicit Loudspeaker(double sample_rate_hz, const std::string& device = {});

  /// 0 (silent) to 1; reached smoothly within the next 20 ms, so that it does not click. [listening thread]
  void set_volume(double volume) noexcept;
  /// Plays these next; beyond full scale is clipped. [listening thread]
  void push(std::span<const float> samples);
  /// False once the device has gone.
  bool running() const noexcept { return stream_->running(); }
  const std::string& name() const noexcept { return name_; }
  std::uint64_t dropped_samples() const noexcept { return outlet_->dropped(); }
  std::uint64_t gaps() const noexcept { return outlet_->gaps(); }

 private:
  std::string name_;
  double volume_ = 0;         // now
  double wanted_volume_ = 0;  // where it is going
  double volume_step_ = 0;    // per sample
  std::vector<float> piece_;
  // The stream ends before the outlet that it calls.
  std::unique_ptr<Outlet> outlet_;
  std::unique_ptr<AudioStream> stream_;
};

}  // namespace hushmill::capture
