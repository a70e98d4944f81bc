// What speaks for one mode of a fit: its spread, the taps that agree, its strength in each.
#pragma once

#include <vector>

#include "tap/findings.hpp"
#include "tap/ring_fit.hpp"

namespace hushmill::tap {

struct Evidence {
  Pole pole;
  double spread_rad_s = 0;      ///< of σ and of ω: the larger of fit and jackknife
  double spread_between_taps_rad_s = 0;  ///< by the jackknife alone; 0 with fewer than three taps
  double weight = 0;            ///< growth of the misfit without it, in units of the noise
  int taps_agreeing = 0;
  double energy = 0;            ///< of its ring, mean over taps; A²/4σ
  double amplitude = 0;         ///< effective value over the taps of the amplitude at the start
  std::size_t ring_samples = 0;
};

/// Of every pole of `poles`, which must be the best fit of `data`, by the fit alone: no taps agreeing, no jackknife.
std::vector<Evidence> evidence_of(const BandData& data, const std::vector<Pole>& poles);
/// All of it, of one of them.
Evidence full_evidence_of(const BandData& data, const std::vector<Pole>& poles, std::size_t mode);

}  // namespace hushmill::tap
