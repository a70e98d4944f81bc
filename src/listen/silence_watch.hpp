// Dead and nearly dead inputs: `silent` when nothing is louder than −90 dBFS, `faint` when the loudest 20 ms stay below
// −70 dBFS, which is a microphone's own noise. Values in dBFS, the loudest so far.
//
// `silent` after two seconds, `faint` after ten, one at the end of a recording; both go once sound comes.
#pragma once

#include <algorithm>
#include <optional>

#include "listen/input_frame.hpp"
#include "signal/decibel.hpp"

namespace hushmill::listen {

class SilenceWatch {
 public:
  void process(const InputFrame& frame) noexcept {
    now_s_ = frame.end_s;
    loudest_ = std::max(loudest_, frame.power);
    if (frame.power < kPowerOfMinus90Dbfs) return;
    silent_since_s_ = frame.end_s;
    heard_ = true;
  }

  std::optional<MicrophoneFinding> silent() const noexcept {
    if (now_s_ - silent_since_s_ < kSilentS) return std::nullopt;
    return MicrophoneFinding{Warning::silent, silent_since_s_, now_s_, loudest_dbfs()};
  }
  /// `at_end`: no more sound will come.
  std::optional<MicrophoneFinding> faint(bool at_end) const noexcept {
    if (!heard_ || loudest_ >= kPowerOfMinus70Dbfs || now_s_ < (at_end ? 1.0 : kFaintS)) return std::nullopt;
    return MicrophoneFinding{Warning::faint, 0, now_s_, loudest_dbfs()};
  }

 private:
  double loudest_dbfs() const noexcept { return signal::power_db(2 * loudest_); }

  static constexpr double kSilentS = 2;
  static constexpr double kFaintS = 10;
  double now_s_ = 0;
  double loudest_ = 0;
  bool heard_ = false;
  double silent_since_s_ = 0;
};

}  // namespace hushmill::listen
