// The modes of one band: how many, where, how damped, by evidence.
//
// Candidates come from the signal subspace of all rings together, at several orders, and from a coarse grid. One after the other
// they enter the fit as long as Schwarz's criterion says that a further mode explains more than it costs; then each must show that
// the fit is worse without it. Pure; any thread.
#pragma once

#include <vector>

#include "tap/ring_fit.hpp"

namespace hushmill::tap {

inline constexpr int kSmoothTerms = 3;

/// Poles of the best fit of the band, tones of the room among them, lowest first.
std::vector<Pole> band_poles(const BandData& data);

}  // namespace hushmill::tap
