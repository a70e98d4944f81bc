// How engagement and feed direction change along the way. Geometry only; distances in, arcs out. No failure, any
// thread.
#pragma once

#include "cutting/engagement.hpp"
#include "rig/rig_settings.hpp"

namespace hushmill::rig {

struct Place {
  cutting::Arc arc;
  double feed_direction_rad = 0;
};

/// Where the tool stands after `travelled_mm` of feed. A pocket goes round and round: along a side the arc of the
/// radial depth, and in each inside corner up to 90 degrees more (that wall's stock added to the next one's), over
/// `corner_mm` in and `corner_mm` out, while the feed turns by 90 degrees. The first corner stands at the end of the
/// first side.
Place place_on_path(const PathSettings& path, double travelled_mm, double radial_fraction,
                    cutting::Milling milling) noexcept;

}  // namespace hushmill::rig
