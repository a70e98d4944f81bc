#include "cutting/directional.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::cutting {
namespace {
constexpr double kN_mm2 = 1e6;  // in N/m²
}  // namespace

AngleIntegral& AngleIntegral::operator+=(const AngleIntegral& other) noexcept {
  sin_sin += other.sin_sin;
  cos_cos += other.cos_cos;
  sin_cos += other.sin_cos;
  return *this;
}

AngleIntegral& AngleIntegral::operator*=(double scale) noexcept {
  sin_sin *= scale;
  cos_cos *= scale;
  sin_cos *= scale;
  return *this;
}

AngleIntegral integral_between(double from_rad, double to_rad) noexcept {
  const double half = 0.5 * (to_rad - from_rad);
  const double sines = 0.25 * (std::sin(2.0 * to_rad) - std::sin(2.0 * from_rad));
  const double cosines = 0.25 * (std::cos(2.0 * to_rad) - std::cos(2.0 * from_rad));
  return {half - sines, half + sines, -cosines};
}

AngleIntegral integral_in_arc(double from_rad, double to_rad, const Arc& arc) noexcept {
  AngleIntegral sum;
  const double shift = kTurn * std::floor(from_rad / kTurn);
  const double from = from_rad - shift;
  const double to = to_rad - shift;
  for (const double turn : {0.0, kTurn}) {
    const double low = std::max(from, arc.entry_rad + turn);
    const double high = std::min(to, arc.exit_rad + turn);
    if (low < high) sum += integral_between(low, high);
  }
  return sum;
}

Matrix2 stiffness_n_m2(const CuttingForce& force, const AngleIntegral& mean) noexcept {
  const double kt = force.tangential_n_mm2 * kN_mm2;
  const double kr = force.radial_n_mm2 * kN_mm2;
  return {-kt * mean.sin_cos - kr * mean.sin_sin, -kt * mean.cos_cos - kr * mean.sin_cos,
          kt * mean.sin_sin - kr * mean.sin_cos, kt * mean.sin_cos - kr * mean.cos_cos};
}

Matrix2 rubbing(const AngleIntegral& mean) noexcept {
  return {-mean.sin_sin, -mean.sin_cos, -mean.sin_cos, -mean.cos_cos};
}

}  // namespace hushmill::cutting
