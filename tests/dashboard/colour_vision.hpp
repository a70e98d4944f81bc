// How a colour looks to somebody whose red, green or blue cones are missing, and how far apart two colours look.
//
// Gustavo M. Machado, Manuel M. Oliveira, Leandro A. F. Fernandes, "A Physiologically-based Model for Simulation of Color
// Vision Deficiency", IEEE Transactions on Visualization and Computer Graphics 15(6), 2009: matrices of severity 1.0, which
// act on linear RGB. (From memory: the nine figures of each; every row must sum to one, or grey would not stay grey, and
// the test checks that.) Differences: CIE 15, "Colorimetry", 3rd edition, 2004, L*a*b* and its distance, white of sRGB.
#pragma once

#include "dashboard/theme.hpp"

namespace hushmill::test {

enum class Vision { full, no_red, no_green, no_blue };

/// Linear RGB, 0 to 1.
struct Light {
  double r = 0, g = 0, b = 0;
};

Light light_of(dashboard::Rgb colour) noexcept;
Light seen(Light colour, Vision vision) noexcept;
/// Distance in L*a*b*; some 2.3 is just noticeable side by side (M. Mahy, L. Van Eycken, A. Oosterlinck, "Evaluation of
/// Uniform Color Spaces Developed after the Adoption of CIELAB and CIELUV", Color Research and Application 19(2), 1994).
double distance(Light a, Light b) noexcept;

}  // namespace hushmill::test
