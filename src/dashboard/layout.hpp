// Where each instrument stands. Pure: window size, scale and look in, rectangles out.
//
// Everything is sized in units: one unit is one pixel of a 1280 × 720 window at scale 1. A larger window or scale makes
// the unit larger, so the picture is the same from the bench laptop to a 4K wall. Where the scale leaves too little
// room for the bench, the across-the-room look is used instead; a scale that leaves no room even for that is reduced.
#pragma once

#include "dashboard/rect.hpp"

namespace hushmill::dashboard {

/// For the three people: across the room (verdict and advice, nothing else), at the bench (all), teaching.
enum class Look { room, bench, teach };

struct LayoutRequest {
  float width_px = 1280;
  float height_px = 720;
  float scale = 1;
  Look look = Look::bench;
  bool rig = false;  ///< the source is the simulated machine, so its knobs need a place
};

struct Layout {
  float unit = 1;            ///< framebuffer pixels
  Look look = Look::bench;   ///< the one that is used, see above
  float capital_px = 72;     ///< height of the verdict word's capitals: a tenth of the window or more (a long word in a
                             ///< window narrower than 16:10 gets less)
  bool lines_below = false;  ///< the verdict's plain words stand under the word instead of beside it
  Rect band, ladder, folded, spectrum, history, trials, timeline, cut, microphone, rig, lesson, advice, cautions;
};

Layout lay_out(const LayoutRequest& request) noexcept;

}  // namespace hushmill::dashboard
