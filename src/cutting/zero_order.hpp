// Stability limits by the zero-order method: directional factors averaged over the turn.
//
// Source: Y. Altintas, E. Budak, "Analytical Prediction of Stability Lobes in Milling", Annals of the CIRP 44/1 (1995)
// 357-362 (formulas from memory). It knows no helix, no unequal pitch, no process damping and no period doubling, and
// overstates the limit at low radial engagement (S.D. Merdol, Y. Altintas, ASME J. Manuf. Sci. Eng. 126 (2004)
// 459-466). Pure; allocates.
#pragma once

#include <vector>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"
#include "cutting/stability_limit.hpp"

namespace hushmill::cutting {

/// The four averaged factors, without unit (Kr is the ratio radial over tangential).
struct DirectionalFactors {
  double xx = 0, xy = 0, yx = 0, yy = 0;
};
DirectionalFactors directional_factors(double radial_ratio, const Arc& arc) noexcept;

/// The lowest point of all lobes.
struct LowestLimit {
  double chatter_hz = 0;
  double depth_mm = 0;
  double kappa = 0;        ///< Im Λ / Re Λ
  double spindle_rpm = 0;  ///< of lobe 0, the fastest
};

class ZeroOrder {
 public:
  /// The model must hold `check`. `frequencies` is how many are tried between 0.3 of the lowest mode and twice the
  /// highest.
  ZeroOrder(const CutModel& model, double radial_mm, Milling milling, int frequencies = 6000);

  /// Lowest limit at any speed, with its frequency. Depth 0: nothing can chatter.
  LowestLimit lowest() const;
  /// Limit at a speed: the lowest of all lobes there.
  StabilityLimit limit(double spindle_rpm, double greatest_depth_mm) const;

 private:
  struct Sample {
    double chatter_hz = 0;
    double depth_mm = 0;  // 0: none
    double kappa = 0;
    double waves = 0;  // fraction of a wave between teeth, ε/2π
  };

  int flutes_;
  std::vector<std::vector<Sample>> branches_;
};

}  // namespace hushmill::cutting
