// From the fits of overlapping bands to the modes of the thing that was tapped.
//
// A first pass goes through the bands, a second looks at each candidate in a band of its own, in the way that suits its decay; only
// what is there again counts. Tones that the room had before the taps, weak companions on the skirt of a strong mode (the near room
// rings along), what taps disagree on and what is not measured well enough are left out.
// What is left is fitted a last time, with the room's answer reckoned in (echo_fit). Pure; any thread.
#pragma once

#include <vector>

#include "tap/evidence.hpp"
#include "tap/rings.hpp"

namespace hushmill::tap {

struct FoundModes {
  std::vector<Evidence> modes;        ///< lowest first
  std::vector<double> room_tones_hz;
};

FoundModes find_modes(Rings& rings);

}  // namespace hushmill::tap
