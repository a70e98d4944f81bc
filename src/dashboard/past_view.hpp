// What the screen says about the moment it shows when that moment is not now: a replay, or a look back. Plain values;
// who makes them is the replay desk.
#pragma once

#include <optional>
#include <utility>

#include "dashboard/tone.hpp"
#include "dashboard/words.hpp"

namespace hushmill::dashboard {

struct PastView {
  bool recording = false;  ///< a replay; else a look back at the session that is still on
  bool playing = false;
  double at_s = 0;      ///< the moment shown
  double length_s = 0;  ///< of the recording; for a look back until now
  double heard_s = 0;   ///< the recording was listened to up to here
  std::optional<std::pair<double, double>> loop_s;
  Words words;  ///< "12.4 s of 43 s · 2× · loud"
  Words mark;   ///< always in view: what listening does meanwhile
  Tone mark_tone = Tone::neutral;
  Words order;  ///< in the place of the order of then: that this is not now, or that it chatters now
};

}  // namespace hushmill::dashboard
