// What disturbs a listener in a shop though it is no chatter, and the sounds of it. All invented; deterministic by
// seed.
#pragma once

#include <vector>

#include "support/chance.hpp"

namespace hushmill::test {

/// Sounds that are laid over a cut, and things that happen to the cut itself. Order is part of the seeds: add at the
/// end.
enum class Nuisance {
  none,
  pump,
  beeper,
  music,
  speech,
  air_blast,
  knocks,
  corner,       ///< engagement rises and falls within a second
  wrong_speed,  ///< entered up to 2 % beside the truth
  runout,
  droop,
  second_cut,     ///< a gap of a second
  neighbour,      ///< another machine cuts, with a comb of its own
  radio,          ///< speech and music at once, through a small loudspeaker
  hum,            ///< mains and its odd harmonics
  fan,            ///< runs up, then blades and rush
  override_step,  ///< the knob stands at another step than what was entered
  override_ramp,  ///< the knob is turned while cutting
  entry_exit,     ///< in and out of the material, again and again
  tool_change,    ///< two seconds of stillness, then the next cut
  forced,         ///< one harmonic of the teeth meets a resonance
  no_cut,         ///< somebody works elsewhere; the spindle stands
};
inline constexpr int kNuisances = 22;

const char* word(Nuisance nuisance) noexcept;

/// True for those that are a sound of their own, which can be laid over any cut.
bool is_sound(Nuisance nuisance) noexcept;
/// True for those whose sound holds tones for longer than a moment.
bool is_tonal(Nuisance nuisance) noexcept;

/// Adds the sound from `begin_s` on to `sound`; nothing for those that are none. `level`: amplitude, about.
void add_nuisance(Nuisance nuisance, Chance& chance, double level, double begin_s, double rate_hz,
                  std::vector<double>& sound);

}  // namespace hushmill::test
