// Stability by semi-discretization: the delayed motion is replaced by straight lines over short intervals, all else is
// exact.
//
// T. Insperger, G. Stépán, "Semi-discretization method for delayed systems", Int. J. Numer. Meth. Engng 55 (2002)
// 503-518, and "Updated semi-discretization method for periodic delay-differential equations with discrete delay",
// ibid. 61 (2004) 117-141 (from memory). Covers low engagement, period doubling, unequal pitch, helix, process damping,
// any number of modes. Runout does not enter: it is no part of the linear theory while every tooth cuts. Pure after
// construction; allocates.
#pragma once

#include <complex>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"
#include "cutting/stability_limit.hpp"

namespace hushmill::cutting {

struct SemiDiscretizationSettings {
  int least_intervals = 40;        ///< per tooth (per mean pitch if the pitch is unequal)
  double intervals_per_wave = 24;  ///< of the highest mode; more intervals where the spindle is slow
  int most_intervals = 400;        ///< as long as that leaves `least_per_wave`
  double least_per_wave = 10;      ///< of the highest mode; kept where the spindle is so slow that it takes more
  int most_intervals_slow = 6400;  ///< but no more than these: see `resolved_from_rpm`
  double depth_tolerance = 2e-4;   ///< relative, of a limit
};

/// What one principal period does to a small disturbance. Stable: |value| < 1.
struct Multiplier {
  std::complex<double> value;
  double period_s = 0;    ///< of the cut: a tooth, or what repeats if the pitch is unequal
  double chatter_hz = 0;  ///< strongest line of the disturbance's motion
  double residual = 0;
};

class SemiDiscretization {
 public:
  /// The model must hold `check`.
  SemiDiscretization(const CutModel& model, double radial_mm, Milling milling,
                     SemiDiscretizationSettings settings = {});

  /// `intervals` per tooth; 0: as many as the settings ask for.
  Multiplier multiplier(double spindle_rpm, double depth_mm, int intervals = 0) const;
  /// Lowest crossing on a scan by `step_mm` (with half the intervals), refined by extrapolation from half the intervals
  /// and all of them: a thinner unstable island below it is not seen.
  StabilityLimit limit(double spindle_rpm, double greatest_depth_mm, double step_mm) const;
  int intervals(double spindle_rpm) const noexcept;
  /// Below this speed a wave of the highest mode gets fewer than `least_per_wave` intervals and limits are no good.
  double resolved_from_rpm() const noexcept;

 private:
  double radius(double spindle_rpm, double depth_mm, int intervals) const;

  CutModel model_;
  Arc arc_;
  SemiDiscretizationSettings settings_;
  double highest_hz_ = 0;
};

}  // namespace hushmill::cutting
