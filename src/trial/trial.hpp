// One trial: a stretch of constant entered speed and what the sound says of it. Plain values; times are stream times in
// seconds, levels in decibels where a full-scale sine is 0.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "listen/findings.hpp"
#include "trial/place.hpp"

namespace hushmill::trial {

enum class Outcome {
  held,        ///< no chatter through the whole judged cut, and enough of it
  returned,    ///< it went quiet in the cut, then chatter came back
  chattered,   ///< it chattered, and no quiet came between
  not_enough,  ///< too little cut to tell
};

/// "held", "returned", "chattered", "not_enough".
std::string_view word(Outcome outcome) noexcept;

/// What makes an outcome.
struct Rules {
  double hold_s = 3;         ///< so much quiet cut is needed before a speed has held
  double settle_s = 1;       ///< after a change nothing is judged for so long
  bool pass_needed = false;  ///< a speed has held only after a whole lap or pass that the person marked
};

/// Chatter that came back.
struct Return {
  double at_s = 0;
  double for_s = 0;  ///< how long it went on, within the trial
  double chatter_hz = 0;
  double after_quiet_s = 0;  ///< quiet cut before it
};

/// Returns that repeat: the engagement changes along the path.
struct Laps {
  double period_s = 0;
  double spread_s = 0;  ///< one standard deviation of the single period
  int per_period = 1;   ///< chatters in each period
};

/// Mean levels over some kind of cut.
struct Levels {
  double over_s = 0;
  double tone_hz = 0;      ///< strongest line off the teeth within half a tooth spacing of the chatter tone
  double tone_dbfs = -200;
  double family_dbfs = -200;  ///< that line and all that stand at the same distance from a tooth multiple
  double share = 0;           ///< the family's part of the sound energy above the room, 50 Hz upward, 0 to 1
  double total_dbfs = -200;   ///< mean power of the whole sound
};

/// Before and after a change, over the same kind of cut.
struct Comparison {
  int trial = 1;                ///< number of the trial before: the latest that chattered
  std::optional<Place> place;   ///< both over this kind of place only, where it was tagged in both
  Levels before;  ///< while it chattered then
  Levels after;   ///< of this trial's quiet cut; of its chatter where it chattered or came back
};

/// The part of a trial that cut one kind of place.
struct PlaceResult {
  Place place = Place::wall;
  Outcome outcome = Outcome::not_enough;
  double quiet_s = 0;
  double chatter_s = 0;
  std::optional<Levels> quiet{}, chatter{};
};

struct Trial {
  int number = 1;  ///< in the session, counted from 1: the same everywhere, journal and JSON included
  double from_s = 0;
  double to_s = 0;
  bool running = false;  ///< has not ended: the outcome is of what was heard so far
  int set_up = 0;        ///< trials of another number were made on another cut (depth, width, tool) and say nothing of it
  double spindle_rpm = 0;  ///< as entered
  std::optional<double> measured_rpm;
  std::optional<listen::OtherFit> heard_as;  ///< the sound fitted this instead of what was entered: says nothing of
                                             ///< the entered speed
  std::optional<double> heard_as_since_s;    ///< when it began to fit that
  bool speed_heard = true;                   ///< the sound agreed with the entered speed at some time
  double judged_from_s = 0;                  ///< end of the settling
  Outcome outcome = Outcome::not_enough;
  double cut_s = 0;        ///< judged time in the cut
  double quiet_s = 0;      ///< of it without chatter
  double quiet_run_s = 0;  ///< of it since the last chatter, or since the settling
  double chatter_s = 0;    ///< judged time with chatter
  double chatter_hz = 0;   ///< of the latest chatter here; 0: none
  std::optional<double> raised_hz;  ///< the same of chatter that was raised here and did not only go on
  std::optional<double> first_chatter_s;
  std::vector<Return> returns;
  std::optional<Laps> laps;
  int passes = 0;         ///< whole laps or passes that were marked, each at its begin and at its end
  bool pass_begun = false;  ///< a mark began one that no mark has ended yet
  double wanted_s = 3;    ///< the hold that was asked for
  bool pass_needed = false;
  bool was_chattering = false;  ///< chatter had been heard on this set-up before the trial began
  std::vector<PlaceResult> places;  ///< those that were tagged here
  std::optional<Levels> quiet, chatter;  ///< over the quiet and over the chattering part of the judged cut
  std::optional<Comparison> compared;

  bool believed() const noexcept { return !heard_as.has_value(); }
  /// Its quiet cut is quiet of the entered speed.
  bool proves_quiet() const noexcept { return believed() && speed_heard; }
};

}  // namespace hushmill::trial
