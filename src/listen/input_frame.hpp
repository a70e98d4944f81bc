// What every test of the microphone sees: 20 ms of the sound as it came in, what was before it, and its plain figures.
//
// Pure; views into the buffer of MicrophoneTruth, valid during one call.
#pragma once

#include <cstdint>
#include <span>

#include "listen/findings.hpp"

namespace hushmill::listen {

/// Something wrong with the input, and when. `value` is in the unit that the finding's own header names.
struct MicrophoneFinding {
  Warning code = Warning::silent;
  double since_s = 0;
  double until_s = 0;
  double value = 0;
};

struct InputFrame {
  std::span<const float> past_and_frame;  ///< the past first, then the frame; all in one piece
  std::size_t past = 0;                   ///< samples before the frame
  double rate_hz = 0;
  double end_s = 0;                       ///< stream time of the frame's end
  double mean = 0;
  double power = 0;       ///< mean square less the mean: a full-scale sine has ½
  std::span<const float> bass;  ///< means over half a millisecond, without a gap from frame to frame
  double bass_power = 0;  ///< their mean square, less the frame's mean
  float peak = 0;         ///< largest |sample|
  // Differences between neighbours, over as many samples that end kStepsBehind before the frame does, so that what
  // comes after the largest of them is known, too.
  double step_power = 0;           ///< mean square: the treble's share
  std::size_t largest_step_at = 0; ///< index of the sample behind it
  float largest_step = 0;          ///< its size

  std::span<const float> samples() const noexcept { return past_and_frame.subspan(past); }
  double frame_s() const noexcept { return static_cast<double>(past_and_frame.size() - past) / rate_hz; }
  double start_s() const noexcept { return end_s - frame_s(); }
};

/// Power (a full-scale sine has ½) of a level in dBFS.
inline constexpr double kPowerOfMinus90Dbfs = 0.5e-9;
inline constexpr double kPowerOfMinus70Dbfs = 0.5e-7;
inline constexpr std::size_t kStepsBehind = 32;

}  // namespace hushmill::listen
