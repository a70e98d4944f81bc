// What is true of a labelled sound, read off its separate tracks: the strongest line of the chatter, and whether it can
// be heard over everything else.
#pragma once

#include <span>

namespace hushmill::bench {

struct TrueTone {
  double hz = 0;            ///< strongest line of the chatter once grown; 0: no tone
  double over_rest_db = 0;  ///< chatter over all else in that line's third-octave band (base ten, IEC 61260-1)
  bool period_doubling = false;
};

/// `chatter`: chatter's part of `all`. Reads the last two thirds of the stretch from_s to to_s. Lines on tooth
/// multiples do not count, those on rotation multiples only half way between two of them (period doubling).
TrueTone true_tone(std::span<const float> chatter, std::span<const float> all, double rate_hz, double from_s,
                   double to_s, double rpm, int flutes);

/// How many multiples of the rotation up to 6 kHz stand 10 dB clear of the median within ±200 Hz, from_s to to_s.
int clear_harmonics(std::span<const float> all, double rate_hz, double from_s, double to_s, double rpm);

/// The place of the chatter family (tooth multiples ± chatter) that is nearest to `hz`.
double nearest_of_family(double hz, double chatter_hz, double tooth_hz);

}  // namespace hushmill::bench
