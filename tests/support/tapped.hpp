// Hammer taps on something that rings, made by stepping each mode through the hammer's push. Knows nothing of the fit.
//
// A mode is an oscillator of one degree of freedom driven by a half-sine push; its acceleration is its sound. Then come a
// near room (some early reflections and a short tail), noise, tones that have nothing to do with the taps. All invented.
#pragma once

#include <cstdint>
#include <vector>

#include "support/chance.hpp"

namespace hushmill::test {

struct TappedMode {
  double natural_hz = 0;
  double damping_ratio = 0;
  double loudness = 1;  ///< of its sound at equal push
};

struct Hit {
  double at_s = 0;
  double strength = 1;
  double again_after_s = 0;     ///< 0: a clean hit; else the hammer bounces
  double again_strength = 0;
};

struct SteadyTone {
  double hz = 0;
  double peak = 0;
};

struct TappedThing {
  double sample_rate_hz = 48000;
  double duration_s = 4;
  double contact_s = 0.0004;   ///< of a half-sine push
  std::vector<TappedMode> modes;
  std::vector<Hit> hits;
  double mode_spread_db = 0;   ///< each hit meets each mode a little differently
  double click = 0;            ///< peak of the push's own sound over that of the rings
  double room_share = 0;       ///< energy of reflections over that of the straight sound
  double room_tail_s = 0.4;    ///< time for 60 dB
  double noise_below_db = 20;  ///< noise under the mean of the first 50 ms after a hit
  double dull_noise = 0;       ///< share of the noise's power that falls by 6 dB an octave above 200 Hz
  std::vector<SteadyTone> tones;  ///< peak relative to the noise's effective value
  double peak = 0.5;           ///< of the whole, full scale 1
};

struct TappedSound {
  std::vector<float> samples;
  std::vector<double> ring_level_db;  ///< of each mode, energy over that of the strongest, mean over clean hits
  std::vector<std::vector<double>> ring_peak;  ///< of each mode, of each hit: amplitude of its ring after the push, in units of the samples
  double noise = 0;                            ///< effective value of the noise, without tones
};

TappedSound make_tapped(const TappedThing& thing, std::uint64_t seed);

/// The room's answer to one sample of 1, by its expected square: so much of it comes in [from, to) seconds after. All of it: `room_share`.
double room_answer(const TappedThing& thing, double from_s, double to_s);

/// A thing drawn at random: one to four modes that can be told apart, three to five hits, what a room adds.
/// `noise_below_db` is the only thing set from outside.
TappedThing draw_tapped(std::uint64_t seed, double noise_below_db);
/// Two modes of 1 % damping, 3 % apart.
TappedThing draw_close_pair(std::uint64_t seed, double noise_below_db);

}  // namespace hushmill::test
