// Sounds that the engine got wrong, kept for whoever wants to hear or review them: a 32-bit WAV that replays exactly,
// and the command beside it.
#pragma once

#include <span>
#include <string>

namespace hushmill::bench {

/// Writes NAME.wav and NAME.txt (how to review it, and `remark`) into the folder that the environment variable
/// HUSHMILL_HEARING_KEEP names; does nothing when it is not set. Any thread, each with names of its own.
void keep_sound(const std::string& name, std::span<const float> samples, double sample_rate_hz, double entered_rpm,
                int flutes, const std::string& remark);

}  // namespace hushmill::bench
