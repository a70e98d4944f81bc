// What a tap test found: taps, modes with their spread, tones of the room, and what makes all of it doubtful.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace hushmill::tap {

/// What a person should know before believing the modes. Closed list.
enum class Warning {
  no_taps,      ///< nothing rose out of the room as a tap does
  no_modes,     ///< taps were heard, but nothing rang long enough to be measured
  few_taps,     ///< fewer than three that count
  taps_differ,  ///< a mode was heard in half of the taps or fewer
  little_ring,  ///< a mode dies within so few waves that its damping is a guess
  noisy,        ///< the taps stand less than 15 dB over the room
  no_room,      ///< less than a quarter of a second before the first tap: tones of the room cannot be told
  room_tones,   ///< there were tones before the taps; they are left out
  clipped,      ///< taps too loud for the microphone were left out
  double_hits,  ///< the hammer bounced; these taps were left out
  too_quiet,    ///< taps far weaker than the others were left out
  too_close,    ///< taps that came too soon after one another were left out
  bad_samples,  ///< samples that are no numbers became silence
};

/// "few_taps" and so on.
std::string_view word(Warning warning) noexcept;
/// One sentence for a person.
std::string_view text(Warning warning) noexcept;

enum class WhyRejected { clipped, double_hit, too_quiet, too_close };
std::string_view word(WhyRejected why) noexcept;

struct RejectedTap {
  double at_s = 0;
  WhyRejected why = WhyRejected::too_quiet;
};

struct Mode {
  double natural_hz = 0;     ///< f_n, from the damped frequency f_d = f_n·sqrt(1 − ζ²)
  double damped_hz = 0;      ///< that is heard
  double damping_ratio = 0;  ///< ζ
  double natural_hz_spread = 0;      ///< standard error: the larger of what fit and differences between taps say
  double damping_ratio_spread = 0;
  int taps_agreeing = 0;     ///< of the taps that count
  double level_db = 0;       ///< energy of its ring over that of the strongest, mean over the taps
  double ring_s = 0;         ///< until it has fallen by 60 dB
};

struct Findings {
  double heard_s = 0;
  bool room_heard = false;      ///< long enough before the first tap; else the next two say nothing
  double room_dbfs = -200;      ///< effective value before the first tap; a full-scale sine has −3
  double over_room_db = 0;      ///< mean of the first 50 ms of the taps over the room
  std::vector<double> tap_s;    ///< times of the taps that count
  std::vector<RejectedTap> rejected;
  std::vector<Mode> modes;      ///< lowest first
  std::vector<double> room_tones_hz;
  std::vector<Warning> warnings;
  std::uint64_t bad_samples = 0;
};

}  // namespace hushmill::tap
