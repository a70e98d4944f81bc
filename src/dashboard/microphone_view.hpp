// The source of the sound in words and a level: device, loss, clipping, the room, and the engine's warnings with what
// to do about each. Pure.
#pragma once

#include <string>
#include <vector>

#include "dashboard/tone.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

struct StripLine {
  std::string text;
  Tone tone = Tone::neutral;
};

struct MicrophoneView {
  std::string title;  ///< "Microphone", "Recording", "Simulated machine"
  double level = 0;   ///< 0 to 1 of the bar, −60 dBFS to 0
  double peak = 0;
  Tone level_tone = Tone::normal;
  std::string level_text;        ///< "−19 dB, clean", "−7 dB, loud" near clipping; dB full scale
  std::vector<StripLine> lines;  ///< worst first
};

MicrophoneView prepare_microphone(const live::State& state);

/// What a warning means and what to do, in one line.
std::string warning_words(listen::Warning warning, const live::State& state);

}  // namespace hushmill::dashboard
