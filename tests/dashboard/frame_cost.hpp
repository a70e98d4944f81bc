// What a frame of the whole screen costs in processor time, without the graphics driver; for the benchmark.
#pragma once

#include "dashboard/layout.hpp"

namespace hushmill::test {

struct FrameCost {
  double screen_ms = 0;  ///< median: input, preparing, drawing, closing the draw list
  double empty_ms = 0;   ///< the same with nothing drawn
};

/// `frames` frames of a chattering state with its microphone or simulator, each with a new spectrum.
FrameCost frame_cost(float width_px, float height_px, float scale, dashboard::Look look, int frames);

}  // namespace hushmill::test
