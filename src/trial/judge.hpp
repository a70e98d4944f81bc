// What the sound says of one stretch of constant entered speed: held, returned, chattered, or not enough cut to tell.
//
// Pure: the same findings give the same answer, live and in a review. The decisions, for the cases where they are not
// plain:
// - The settling ends `settle_s` after the change. Chatter that ran on from before the change may take a little
//   longer to die away, and the listener, which follows the comb to the new speed for up to three seconds, longer still
//   to say so; until then it belongs to the speed before, and the judging begins at its end. What goes on longer is
//   chatter of the new speed. The first trial of a session follows no change and has no settling.
// - A speed that was entered before the machine was turned is judged from when the sound came there; until then it is the speed
//   before that chatters.
// - Air counts neither as quiet nor as chatter; quiet before and after it adds up.
// - Chatter that rose within a tenth of a second before the end of a trial and was raised after it is the change's own.
// - It came back when chatter was heard earlier on the same set-up, here or at a speed before, and enough quiet cut lay
//   between: a second of it since the settling, or what parts two chatters within the trial. The first chatter of a
//   session, however late in the trial, did not come back: it chattered.
// - A trial in which the sound fitted another speed or flute count for a second or more is not believed: it never held.
// - Nor did one in which the entered speed was never heard: a slip of the finger is no cure. What was quiet was quiet at some
//   speed, but nobody knows at which.
#pragma once

#include <span>

#include "listen/findings.hpp"
#include "trial/trial.hpp"

namespace hushmill::trial {

/// What is to be judged.
struct Stretch {
  double from_s = 0;
  double to_s = 0;
  bool running = false;
  bool first = true;  ///< of the session: nothing was changed before it
  int set_up = 0;
  double set_up_since_s = 0;  ///< what was heard before says nothing of this cut
  double spindle_rpm = 0;
  std::optional<double> measured_rpm;
  std::optional<listen::OtherFit> heard_as;
  std::optional<double> heard_as_since_s{};
  double chatter_hz = 0;    ///< of what chattered last in it; 0: nothing
  bool speed_heard = true;  ///< the sound agreed with the entered speed at some time
  std::optional<double> arrived_s{};  ///< when the sound came to this speed, where that was later than the change
};

/// `marks_s`: when the person marked the begin of a lap or pass, its end, the begin of the next and so on, in order; what lies
/// between an end and the next begin is none.
/// Levels are left empty: they come from the spectra (trial_book.hpp).
Trial judge(const Stretch& stretch, const listen::Findings& findings, const Rules& rules,
            std::span<const double> marks_s = {}, std::span<const Tag> tags = {});

/// Chatter that ran on from before a change has so much longer than the settling to die away: a slow spindle, and the
/// listener's own three seconds of following.
inline constexpr double kDieAwayS = 1.0;

/// Which part of [from_s, to_s) was tagged with what: the tag that was given last counts. In order, without overlaps.
std::vector<Tag> laid_out(std::span<const Tag> tags, double from_s, double to_s);

}  // namespace hushmill::trial
