// The general-purpose way to read taps, as a reference: one spectrum, its peaks, and the width of each 3 dB below its top.
//
// Told when the taps were. Q = f/(f2 − f1) = 1/(2ζ): W.T. Thomson, "Theory of Vibration with Applications", eqs (3.10-2) to (3.10-4).
#pragma once

#include <span>
#include <vector>

namespace hushmill::bench {

struct HalfPowerMode {
  double hz = 0;
  double damping_ratio = 0;
};

/// Peaks of the mean power spectrum of the half seconds after the taps, down to 30 dB below the highest, 10 dB over the room.
std::vector<HalfPowerMode> half_power_modes(std::span<const float> sound, double rate_hz, const std::vector<double>& tap_s);

}  // namespace hushmill::bench
