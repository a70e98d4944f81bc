// How long it takes until what the microphone hears stands on the screen, through a real sound server and a real window.
#pragma once

#include <vector>

namespace hushmill::bench {

struct ScreenDelays {
  /// From the moment at which the sample of the alarm (the detector's alert_s) was at the microphone until a frame that says
  /// CHATTER was on the screen, ms, one for each onset. That moment is told by another recorder on the same microphone, so
  /// it may lie up to the 5 ms of its pieces too late.
  std::vector<double> verdict_ms;
  double lost_ms = 0;  ///< from the end of the sound server until a frame that says that there is no sound
  double back_ms = 0;  ///< from its return until a frame with sound again
};

/// Throws when the sound server or the display cannot be had, or when no alarm came.
ScreenDelays screen_delays(int onsets);

}  // namespace hushmill::bench
