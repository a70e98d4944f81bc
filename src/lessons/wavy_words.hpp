// The wavy wall in plain sentences: what the wave does, as measured, and why, by its phase and the depth. Pure.
#pragma once

#include <string>
#include <vector>

#include "lessons/scene.hpp"

namespace hushmill::lessons {

/// How the waves are counted, what the wall does, and the last chip: three sentences or two.
std::vector<std::string> wall_words(const WallPicture& wall);
/// After a knock that died: why, at this speed and depth.
std::string death_words(const WallPicture& wall, double spindle_rpm);
/// Chatter is heard at f and at f and so many tooth multiples; which of them is loudest changes with the cut, and after
/// a turn an alarm that goes on may name its old line. Says in `heard` where the line is not the wave's own.
void name_family(Heard& heard, double wave_hz, double tooth_hz);
/// Where the engine's alarm, or that there is none, needs a word beside the wall; empty when it speaks for itself.
std::string alarm_words(const WallPicture& wall, const Heard& heard);

}  // namespace hushmill::lessons
