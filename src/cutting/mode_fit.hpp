// Modes from a measured frequency response, and stiffness from a depth that is known to be the limit. Pure; allocates.
#pragma once

#include <complex>
#include <vector>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"
#include "cutting/mode.hpp"

namespace hushmill::cutting {

/// One line of a measurement at the tip, force and displacement in the same place and direction.
struct ResponsePoint {
  double hz = 0;
  std::complex<double> response_m_n;
};

struct ModeFit {
  std::vector<Mode> modes;  ///< lowest frequency first
  double residual_m_n = 0;  ///< constant compliance of all modes above the range
  double misfit = 0;        ///< root mean square of what is left over that of the measurement
};

struct ModeFitSettings {
  int most_modes = 4;
  double least_share = 0.05;  ///< a mode is kept if its peak is at least this part of the highest
};

/// Peaks of −Im G are taken one after another, strongest first, and all modes refined together by least squares (K.
/// Levenberg 1944, D.W. Marquardt 1963) in frequency and damping, compliances being linear. Viscous damping is assumed.
/// Throws std::invalid_argument when there are fewer than 16 points, frequencies do not rise, a number is not finite,
/// or no peak is found.
ModeFit fit_modes(const std::vector<ResponsePoint>& measured, const ModeFitSettings& settings = {});

/// A tap gives frequency and damping but no stiffness. If a cut is known to be just at its limit at this depth, all
/// stiffnesses of `model` are scaled together so that semi-discretization agrees. Throws std::invalid_argument when the
/// model has no limit there or the spindle is so slow that a hundred waves of its highest mode pass from tooth to tooth.
CutModel scaled_to_known_depth(const CutModel& model, double radial_mm, Milling milling, double spindle_rpm,
                               double known_depth_mm);

}  // namespace hushmill::cutting
