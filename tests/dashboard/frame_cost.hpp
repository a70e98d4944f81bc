// What a frame of the whole screen costs, without the graphics driver; for the benchmark.
#pragma once

#include <functional>

#include "dashboard/layout.hpp"

namespace hushmill::test {

struct FrameCost {
  double screen_ms = 0;       ///< median of processor time: input, preparing, drawing, closing the draw list
  double screen_late_ms = 0;  ///< the same, 99 of 100 frames
  double empty_ms = 0;        ///< of a frame with nothing drawn, in turns with the others
  double allocations = 0;     ///< mean of a frame with a new state
  double still_allocations = 0;  ///< of a frame in which nothing has changed
};

/// `frames` frames of a chattering session with its simulator in which everything moves: time, spectrum, levels, speed,
/// trial. The first two seconds of them are not counted among the allocations. `allocations` tells how often this
/// thread has allocated so far.
FrameCost frame_cost(float width_px, float height_px, float scale, dashboard::Look look, int frames,
                     const std::function<long long()>& allocations);

}  // namespace hushmill::test
