// Dead and nearly dead inputs: `silent` when nothing is louder than −90 dBFS, `faint` when the loudest 20 ms stay below
// −70 dBFS, which is a microphone's own noise. Values in dBFS, the loudest so far.
//
// `silent` after two seconds; it stays when there was sound before (the plug was pulled), else it goes once sound comes.
// `faint` after ten seconds, one at the end of a recording; it goes once sound comes.
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
    if (frame.power >= kPowerOfMinus90Dbfs) {
      silent_since_s_ = frame.end_s;
      heard_ = true;
    } else if (heard_ && !died_at_s_ && frame.end_s - silent_since_s_ >= kSilentS) {
      died_at_s_ = silent_since_s_;
    }
    if (died_at_s_ && frame.power < kPowerOfMinus90Dbfs) died_until_s_ = frame.end_s;
  }

  std::optional<MicrophoneFinding> silent() const noexcept {
    if (died_at_s_) return MicrophoneFinding{Warning::silent, *died_at_s_, died_until_s_, loudest_dbfs()};
    if (!heard_ && now_s_ >= kSilentS) return MicrophoneFinding{Warning::silent, 0, now_s_, loudest_dbfs()};
    return std::nullopt;
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
  std::optional<double> died_at_s_;
  double died_until_s_ = 0;
};

}  // namespace hushmill::listen
