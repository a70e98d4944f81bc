// The last look at the modes: with the room's answer to them taken for what it is, noise that comes with the ring.
//
// A near room repeats the ring, softer and later, in every tap alike; its answer to a click is noise that dies down exponentially
// (J.-D. Polack, "La transmission de l'energie sonore dans les salles", thesis, 1988, from memory). How much it answers, and how long,
// is chosen by likelihood over all modes together; then each mode's pole goes to the least misfit in that room (echo_look), amplitudes
// eliminated as in ring_fit. Pure; any thread.
#pragma once

#include <vector>

#include "tap/evidence.hpp"
#include "tap/rings.hpp"

namespace hushmill::tap {

/// Moves the poles of `modes` and sets their spreads; what does not settle near where it was is left as it was.
void fit_with_echoes(Rings& rings, std::vector<Evidence>& modes, const std::vector<double>& room_tones_hz);

}  // namespace hushmill::tap
