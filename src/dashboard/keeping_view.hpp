// What is kept of the sound, in one short line that is always in view: sound of a shop holds people's voices. Pure.
#pragma once


#include "dashboard/tone.hpp"
#include "dashboard/view_state.hpp"
#include "dashboard/words.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

enum class KeepingDot { none, ring, disc };

struct KeepingMark {
  Words text;  ///< "No sound is kept", "Last 43 s in memory", "Recording 3:12"; a question or news for a moment
  KeepingDot dot = KeepingDot::none;  ///< ring: in memory only; disc: going onto the disk
  Tone tone = Tone::neutral;
};

KeepingMark prepare_keeping(const live::State& state, const ViewState& view);

/// Counts down what is said for a moment, and notices news.
void pass_time(ViewState& view, const live::State& state, double dt_s);

/// Deleting asks once more, for so long.
inline constexpr double kAskS = 4;

}  // namespace hushmill::dashboard
