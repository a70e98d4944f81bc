#include "advise/flexible_cut.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hushmill::advise {

namespace {

// Complex products by hand: std::complex guards against infinities that do not arise here, at several times the cost.
struct Plane {
  double re = 0;
  double im = 0;
};
Plane times(Plane a, Plane b) noexcept { return {a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re}; }
Plane root(Plane z) noexcept {
  const double size = std::sqrt(z.re * z.re + z.im * z.im);
  const double re = std::sqrt(0.5 * (size + std::abs(z.re)));
  if (re == 0) return {};
  const double other = 0.5 * z.im / re;
  if (z.re >= 0) return {re, other};
  return {std::abs(other), std::copysign(re, z.im)};
}

}  // namespace

void FlexibleCut::set_engagement(double engagement, bool climb, double radial_over_tangential) noexcept {
  const double width = std::acos(1.0 - 2.0 * std::clamp(engagement, 0.0, 1.0));
  start_rad = climb ? std::numbers::pi - width : 0.0;
  exit_rad = climb ? std::numbers::pi : width;
  const auto between = [&](auto primitive) { return primitive(exit_rad) - primitive(start_rad); };
  radial_ratio = radial_over_tangential;
  const double kr = radial_ratio;
  axx = 0.5 * between([kr](double a) { return std::cos(2 * a) - 2 * kr * a + kr * std::sin(2 * a); });
  axy = 0.5 * between([kr](double a) { return -std::sin(2 * a) - 2 * a + kr * std::cos(2 * a); });
  ayx = 0.5 * between([kr](double a) { return -std::sin(2 * a) + 2 * a + kr * std::cos(2 * a); });
  ayy = 0.5 * between([kr](double a) { return -std::cos(2 * a) - 2 * kr * a - kr * std::sin(2 * a); });
  // Twice the integrals of (mu cos + sin) sin and (-mu sin + cos) cos over the engaged angle.
  rub_x = between([](double a) { return a - 0.5 * std::sin(2 * a) - 0.5 * FlexibleCut::kFriction * std::cos(2 * a); });
  rub_y = between([](double a) { return a + 0.5 * std::sin(2 * a) + 0.5 * FlexibleCut::kFriction * std::cos(2 * a); });
}

double FlexibleCut::damping_at(const CutMode& mode, double slowness) const noexcept {
  return std::min(mode.damping + mode.rubbing * slowness, 0.6);
}

EigenPair FlexibleCut::eigenvalues(std::complex<double> s, double slowness) const noexcept {
  const Plane square = times({s.real(), s.imag()}, {s.real(), s.imag()});
  Plane gx;
  Plane gy;
  for (int i = 0; i < mode_count; ++i) {
    const CutMode& mode = modes[static_cast<std::size_t>(i)];
    const double own = mode.ratio * mode.ratio;
    const double drag = 2.0 * damping_at(mode, slowness) * mode.ratio;
    const Plane below{square.re + drag * s.real() + own, square.im + drag * s.imag()};
    const double scale = mode.compliance * own / (below.re * below.re + below.im * below.im);
    Plane& g = mode.along_feed ? gx : gy;
    g.re += below.re * scale;
    g.im -= below.im * scale;
  }
  const Plane half{0.5 * (axx * gx.re + ayy * gy.re), 0.5 * (axx * gx.im + ayy * gy.im)};
  const Plane both = times(gx, gy);
  const double turn = axx * ayy - axy * ayx;
  const Plane square_half = times(half, half);
  const Plane split = root({square_half.re - turn * both.re, square_half.im - turn * both.im});
  return {std::complex<double>{half.re + split.re, half.im + split.im},
          std::complex<double>{half.re - split.re, half.im - split.im}};
}

}  // namespace hushmill::advise
