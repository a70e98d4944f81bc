// How well the modes of a made-up tap test can be measured at all: the Cramér-Rao bound of each mode's pole.
//
// Known to the bound, and not to the tap test, are: how many modes there are and where, the level of the noise and its colour, when
// the hammer struck, and how the room answers on average. Fitted are all poles, shared by the clean taps, and an amplitude and phase of
// each mode in each tap. The room's answer to the ring is noise that comes with the ring, in all taps the same; it is taken as
// Gaussian, of the covariance that follows from how its echoes are drawn. (S.M. Kay, "Fundamentals of Statistical Signal Processing:
// Estimation Theory", 1993, ch. 15, from memory; the bound of a linear estimator, which takes no knowledge from the covariance.)
#pragma once

#include <vector>

#include "support/tapped.hpp"

namespace hushmill::bench {

struct TapBound {
  double by_noise_rad_s = 0;  ///< standard error of the decay and of the frequency, if there were no room
  double rad_s = 0;           ///< the same in the room
};

/// Of every mode of `thing`.
std::vector<TapBound> tap_bounds(const test::TappedThing& thing, const test::TappedSound& sound);

/// What `share` of absolute errors stay below, when each is normal with one of these standard errors.
double quantile_of_normals(const std::vector<double>& standard_errors, double share);

}  // namespace hushmill::bench
