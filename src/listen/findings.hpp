// What the engine heard, as dated events and as the episodes made of them. Times are stream times in seconds.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "listen/verdict.hpp"

namespace hushmill::listen {

enum class EventKind { cut_begins, chatter_onset, chatter_ends, cut_ends, foreign_tone, forced_vibration, other_speed_fits };

/// "cut_begins", "chatter_onset", "chatter_ends", "cut_ends", "foreign_tone", "forced_vibration",
/// "other_speed_fits".
std::string_view word(EventKind kind) noexcept;

/// One stretch of chatter.
struct Episode {
  double start_s = 0;  ///< where the tone rose; may look back
  double alert_s = 0;  ///< when the live monitor raised it; only samples up to here counted
  double end_s = 0;    ///< end of the sound so far while open
  bool open = true;
  double chatter_hz = 0;  ///< strongest line of the family
  ChatterKind kind = ChatterKind::hopf;
  double peak_dbfs = -200;    ///< highest level of the strongest line; a full-scale sine is 0
  double chatter_share = 0;   ///< 0 to 1: chatter's part of the sound energy above the room, 50 Hz upward
  double confidence = 0;      ///< 0 to 1
  double growth_per_s = 0;    ///< exponential growth rate of the amplitude while it rose, 1/s; 0 when not seen
  std::optional<int> return_of;  ///< index of the first episode of which this one is a return
};

/// A tone that does not belong to the cut.
struct ForeignTone {
  double hz = 0;
  double start_s = 0;
  double end_s = 0;
  bool may_be_chatter = false;  ///< as loud as the teeth and without strong harmonics: chatter can be a single tone
};

/// A stretch with the tool in the cut.
struct Cut {
  double start_s = 0;
  double end_s = 0;
};

/// A stretch in which sound is missing so near that nothing new can be told from it: neither chatter nor quiet.
struct TornStretch {
  double from_s = 0;
  double to_s = 0;
};

/// A dated event. `episode` and `foreign` index into the findings.
struct Event {
  std::int64_t sample = 0;  ///< when it was raised (not when it began)
  double t_s = 0;
  EventKind kind = EventKind::cut_begins;
  int index = -1;  ///< episode for the chatter events, foreign tone for foreign_tone, cut for the cut events
};

/// A stretch of constant entered speed, with what the sound said of it.
struct SpeedStretch {
  double from_s = 0;
  double to_s = 0;
  double entered_rpm = 0;
  std::optional<double> measured_rpm;
  std::optional<double> rpm_uncertainty;  ///< one standard deviation, rev/min
  /// When the sound came to the entered speed, or until when it was on its way there; none: it was never seen elsewhere.
  std::optional<double> arrived_s{};
  double chatter_hz = 0;  ///< of what chattered last in it; 0: nothing
};

/// A warning: a code from the closed list in DEVELOPERS.md. Texts are made by whoever shows them.
enum class Warning {
  bad_samples,        ///< NaN, infinite or absurd samples were silenced
  clipped,            ///< the input was clipped
  silent,             ///< nothing but silence, or the input died
  no_room,            ///< less than a second of room before the cut
  speed_not_heard,    ///< the comb could not be fitted
  speed_differs,      ///< the sound says a speed other than the one entered
  other_speed_fits,   ///< another override step or flute count explains the sound far better
  unexplained_tone,   ///< a tone that may be chatter, undecided
  high_lobe,          ///< many waves per tooth: a change of speed buys little
  faint,              ///< the input is nearly dead: nothing louder than a microphone's own noise
  dc_offset,          ///< the sound does not swing round zero
  mains_hum,          ///< mains hum, picked up by the wiring, stands beside the sound
  dropped_samples,    ///< pieces of the sound are missing or doubled
  one_sided,          ///< the chosen channel, or half of the mix, is (nearly) dead while the other is not
  sides_cancel,       ///< the two channels are in opposite phase and their mix cancels
  rate_mismatch,      ///< the samples were made at another rate than stated
  narrow_band,        ///< nothing above an edge that only a speech link or a lower rate makes
  noise_suppression,  ///< steady sound is taken out between or during loud stretches
  automatic_gain,     ///< the gain goes up and down with the loudness
};

/// The code as written in JSON, same spelling as the enumerator.
std::string_view word(Warning warning) noexcept;

/// A speed and flute count that explain the sound far better than what was entered. Offered, never adopted for advice.
struct OtherFit {
  double spindle_rpm = 0;
  int flutes = 1;
};

/// Everything heard up to a moment.
struct Findings {
  std::vector<Cut> cuts;
  std::vector<Episode> episodes;
  std::vector<ForeignTone> foreign_tones;
  std::vector<SpeedStretch> stretches;
  std::vector<Warning> warnings;
  std::optional<OtherFit> other_fit;
  bool forced_vibration_heard = false;
  double confidence = 0;  ///< of the overall verdict
  std::vector<TornStretch> torn{};  ///< in order; none touches the next
};

}  // namespace hushmill::listen
