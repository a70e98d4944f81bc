// One guess of what is cutting: modes in the feed direction and across it, engagement, process damping.
//
// Frequencies are relative to the first mode, compliances to its compliance. Depth is in the unit of zero-order theory,
// b = depth N K_t / (4 pi), so that neither stiffness nor cutting coefficient need be known (Y. Altintas, E. Budak,
// "Analytical Prediction of Stability Lobes in Milling", 1995, from memory). Any thread; allocates nothing.
#pragma once

#include <array>
#include <complex>

namespace hushmill::advise {

/// One mode of the relative motion of tool and part.
struct CutMode {
  bool along_feed = true;
  double ratio = 1;        ///< natural frequency over that of the first mode
  double compliance = 1;   ///< over that of the first mode
  double damping = 0.024;  ///< ratio, of the structure alone
  double rubbing = 0;      ///< ratio that process damping adds at the anchored speed; goes with 1 / speed
};

/// Eigenvalues of the directed compliance A G(s).
using EigenPair = std::array<std::complex<double>, 2>;

struct FlexibleCut {
  static constexpr int kMostModes = 6;
  static constexpr double kFriction = 0.3;  ///< of the rubbing flank; working assumption, no published source

  std::array<CutMode, kMostModes> modes;
  int mode_count = 0;
  double start_rad = 0, exit_rad = 0, radial_ratio = 0.3;  ///< engaged angles; radial over tangential coefficient
  double axx = 0, axy = 0, ayx = 0, ayy = 0;               ///< averaged directional factors
  double rub_x = 0, rub_y = 0;                             ///< averaged process-damping factors
  double rub_length_mm = 0;                                ///< process-damping force per unit of K_t, mm
  double diameter_mm = 10;
  double overload = 1.5;     ///< depth over the depth limit at the anchored speed
  double first_mode_hz = 0;  ///< known once anchored
  double depth = 0;          ///< in the unit above; known once anchored
  double weight = 0;

  void add(const CutMode& mode) noexcept {
    if (mode_count < kMostModes) modes[static_cast<std::size_t>(mode_count++)] = mode;
  }
  /// Directional factors from engagement (radial width over diameter), climb and radial over tangential coefficient.
  void set_engagement(double engagement, bool climb, double radial_over_tangential) noexcept;
  /// Damping ratio of a mode at a speed `slowness` times slower than the anchored one.
  double damping_at(const CutMode& mode, double slowness) const noexcept;
  /// Eigenvalues at Laplace variable s, in units of the first mode's angular frequency.
  EigenPair eigenvalues(std::complex<double> s, double slowness) const noexcept;
};

}  // namespace hushmill::advise
