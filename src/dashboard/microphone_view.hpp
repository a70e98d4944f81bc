// The source of the sound in words and a level: device, loss, clipping, the room, and the engine's warnings with what
// to do about each. Pure.
#pragma once

#include <vector>

#include "dashboard/tone.hpp"
#include "dashboard/words.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

struct StripLine {
  Words text;
  Tone tone = Tone::neutral;
};

struct MicrophoneView {
  const char* title = "";  ///< "Microphone", "Recording", "Simulated machine"
  double level = 0;   ///< 0 to 1 of the bar, −60 dBFS to 0
  double peak = 0;
  Tone level_tone = Tone::normal;
  Words level_text;        ///< "−19 dB, clean", "−7 dB, loud" near clipping; dB full scale
  Few<StripLine, 28> lines;  ///< worst first
};

MicrophoneView prepare_microphone(const live::State& state);

/// What a warning means and what to do, in one line.
Words warning_words(listen::Warning warning, const live::State& state);

}  // namespace hushmill::dashboard
