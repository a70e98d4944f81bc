// How a displacement of the tool changes the force of one tooth, averaged over a stretch of its way. Pure functions.
//
// A tooth at angle φ feels the chip u·n, n = (sin φ, cos φ), and pushes back with tangential Kt and radial Kr per
// depth: dF/du = b · (−Kt cos φ − Kr sin φ, Kt sin φ − Kr cos φ)ᵀ n. Angles and signs as in Y. Altintas, E. Budak,
// "Analytical Prediction of Stability Lobes in Milling", Annals of the CIRP 44/1 (1995) 357-362; for one mode along the
// feed it is the h(t) of T. Insperger, G. Stépán, Int. J. Numer. Meth. Engng 61 (2004) 117-141 (both from memory, the
// algebra derived).
#pragma once

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"

namespace hushmill::cutting {

/// Integrals over an angle of sin², cos² and sin·cos.
struct AngleIntegral {
  double sin_sin = 0;
  double cos_cos = 0;
  double sin_cos = 0;

  AngleIntegral& operator+=(const AngleIntegral& other) noexcept;
  AngleIntegral& operator*=(double scale) noexcept;
};

/// From one angle to another, rad.
AngleIntegral integral_between(double from_rad, double to_rad) noexcept;

/// Over the stretch [from, to], which may lie at any turn and be up to one turn long: only what lies in the arc counts.
AngleIntegral integral_in_arc(double from_rad, double to_rad, const Arc& arc) noexcept;

/// A 2 × 2 matrix, rows x and y.
struct Matrix2 {
  double xx = 0, xy = 0, yx = 0, yy = 0;
};

/// dF/du per metre of depth, N/m², from (mean) products of sine and cosine.
Matrix2 stiffness_n_m2(const CuttingForce& force, const AngleIntegral& mean) noexcept;
/// −n nᵀ: the direction of the flank's rubbing against the velocity, without unit.
Matrix2 rubbing(const AngleIntegral& mean) noexcept;

}  // namespace hushmill::cutting
