// The verdict band in words: one word, one shape, one meaning, and what was heard in a few plain lines. Pure.
#pragma once


#include "dashboard/advice_view.hpp"
#include "dashboard/tone.hpp"
#include "dashboard/words.hpp"
#include "live/state.hpp"

namespace hushmill::dashboard {

/// ring: hollow circle; wave: disc with a smooth wave; square: square with even bars (in step); triangle: triangle with
/// a rising wave; diamond: diamond with a jagged wave; half: disc whose right half is cut away (quiet, not proved);
/// gap: broken ring (no sound).
enum class Shape { ring, wave, square, triangle, diamond, half, gap };

struct VerdictView {
  Words word;  ///< NO CUT, STEADY, QUIET NOW, RINGING, BUILDING, CHATTER; NO SOUND when the source is gone
  Shape shape = Shape::ring;
  Tone tone = Tone::neutral;
  Words tone_line;  ///< the tone and how it stands to the teeth
  Words how_line;   ///< growing or fading, share, since when
  Words do_line;    ///< bold: what to do now
  Words clock;      ///< stream time
};

VerdictView prepare_verdict(const live::State& state, const Session& session, const AdviceView& advice);

/// "1 370 Hz, between tooth multiples 4 and 5"; "…, halfway between …" for period doubling; "…, on tooth multiple 3".
Words place_between_teeth(double hz, double tooth_passing_hz, listen::ChatterKind kind);

}  // namespace hushmill::dashboard
