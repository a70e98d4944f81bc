#include "advise/tooth_growth.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace hushmill::advise {

namespace {

constexpr double kPi = std::numbers::pi;
// Enough for the dominant multiplier to outgrow the others: with many waves per tooth that takes fewer teeth.
int teeth_for(double waves) noexcept { return std::clamp(static_cast<int>(80.0 / waves), 8, 16); }

struct Matrix {
  double xx = 0, xy = 0, yx = 0, yy = 0;
};

// Integral of the directional matrix of one tooth from angle 0.
Matrix primitive(double a, double kr) noexcept {
  const double s2 = 0.25 * std::sin(2 * a);
  const double c2 = 0.25 * std::cos(2 * a);
  const double half = 0.5 * a;
  return {c2 - kr * (half - s2), -(half + s2) + kr * c2, half - s2 + kr * c2, -c2 - kr * (half + s2)};
}

// Mean directional matrix of all teeth over each step of a tooth period; teeth leave and enter at exact angles.
std::vector<Matrix> directional_steps(const FlexibleCut& cut, int flutes, int steps) {
  std::vector<Matrix> all(static_cast<std::size_t>(steps));
  const double step_rad = 2 * kPi / flutes / steps;
  for (int i = 0; i < steps * flutes; ++i) {
    const double from = std::max(i * step_rad, cut.start_rad);
    const double to = std::min((i + 1) * step_rad, cut.exit_rad);
    if (from >= to) continue;
    const Matrix a = primitive(from, cut.radial_ratio);
    const Matrix b = primitive(to, cut.radial_ratio);
    Matrix& sum = all[static_cast<std::size_t>(i % steps)];
    sum.xx += (b.xx - a.xx) / step_rad;
    sum.xy += (b.xy - a.xy) / step_rad;
    sum.yx += (b.yx - a.yx) / step_rad;
    sum.yy += (b.yy - a.yy) / step_rad;
  }
  return all;
}

struct Oscillator {
  bool along_feed = true;
  double a11 = 0, a12 = 0, a21 = 0, a22 = 0, kick = 0;
  double position = 0, velocity = 0;
};

// The waves of the last three teeth, v0, v1, v2. A dominant pair of multipliers makes v2 = a v1 - b v0; the fitted a
// and b give both multipliers.
class Succession {
 public:
  void next_tooth() noexcept { std::swap(waves_[0], waves_[1]), std::swap(waves_[1], waves_[2]); }
  void keep(const std::vector<double>& x, const std::vector<double>& y) {
    waves_[2].assign(x.begin(), x.end());
    waves_[2].insert(waves_[2].end(), y.begin(), y.end());
  }
  double size() const noexcept { return std::sqrt(dot(2, 2)); }
  void scale(double factor) noexcept {
    for (auto& wave : waves_)
      for (double& v : wave) v *= factor;
  }
  ToothGrowth dominant() const noexcept {
    const double s00 = dot(0, 0), s01 = dot(0, 1), s11 = dot(1, 1), s02 = dot(0, 2), s12 = dot(1, 2);
    if (!(s00 > 0) || !(s11 > 0)) return {-10.0, 0.0};
    const double spread = s00 * s11 - s01 * s01;
    if (spread < 1e-9 * s00 * s11) {  // one real multiplier
      const double multiplier = s01 / s00;
      return {std::log(std::max(std::abs(multiplier), 1e-9)), multiplier < 0 ? 0.5 : 0.0};
    }
    const double a = (s12 * s00 - s02 * s01) / spread;
    const double b = (s12 * s01 - s02 * s11) / spread;
    const double inside = 0.25 * a * a - b;
    if (inside < 0) return {0.5 * std::log(b), std::acos(std::clamp(0.5 * a / std::sqrt(b), -1.0, 1.0)) / (2 * kPi)};
    const double larger = 0.5 * a + std::copysign(std::sqrt(inside), a);
    return {std::log(std::max(std::abs(larger), 1e-9)), larger < 0 ? 0.5 : 0.0};
  }

 private:
  double dot(std::size_t a, std::size_t b) const noexcept {
    double sum = 0;
    for (std::size_t i = 0; i < std::min(waves_[a].size(), waves_[b].size()); ++i) sum += waves_[a][i] * waves_[b][i];
    return sum;
  }
  std::array<std::vector<double>, 3> waves_;
};

}  // namespace

ToothGrowth tooth_growth(const FlexibleCut& cut, double anchored_rpm, double spindle_rpm, int flutes,
                         double depth_factor) {
  const double slowness = anchored_rpm / spindle_rpm;
  const double tooth_s = 60.0 / (spindle_rpm * flutes);
  const double waves = cut.first_mode_hz * tooth_s;
  double top = 1;
  for (int i = 0; i < cut.mode_count; ++i)
    top = std::max(top, std::min(2.0, cut.modes[static_cast<std::size_t>(i)].ratio));
  const int steps = std::clamp(static_cast<int>(std::ceil(14.0 * waves * top)), 24, 480);
  // Time in units of 1 / first mode's angular frequency.
  const double step = 2 * kPi * waves / steps;

  std::array<Oscillator, FlexibleCut::kMostModes> bodies;
  const auto count = static_cast<std::size_t>(cut.mode_count);
  for (std::size_t i = 0; i < count; ++i) {
    const CutMode& mode = cut.modes[i];
    const double damping = cut.damping_at(mode, slowness);
    const double decay = damping * mode.ratio;
    const double ringing = mode.ratio * std::sqrt(1.0 - damping * damping);
    const double e = std::exp(-decay * step);
    const double c = std::cos(ringing * step);
    const double s = std::sin(ringing * step) / ringing;
    bodies[i] = {mode.along_feed,
                 e * (c + decay * s),
                 e * s,
                 -mode.ratio * mode.ratio * e * s,
                 e * (c - decay * s),
                 mode.compliance * mode.ratio * mode.ratio * step,
                 1.0,
                 0.3};
  }
  const std::vector<Matrix> direction = directional_steps(cut, flutes, steps);
  const double depth = depth_factor * cut.depth * 4 * kPi / flutes;
  std::vector<double> past_x(direction.size(), 0.0);
  std::vector<double> past_y(direction.size(), 0.0);
  Succession last;
  const int teeth = teeth_for(waves);

  for (int tooth = 0; tooth < teeth; ++tooth) {
    last.next_tooth();
    for (std::size_t i = 0; i < direction.size(); ++i) {
      double x = 0;
      double y = 0;
      for (std::size_t m = 0; m < count; ++m) (bodies[m].along_feed ? x : y) += bodies[m].position;
      const double dx = x - past_x[i];
      const double dy = y - past_y[i];
      past_x[i] = x;
      past_y[i] = y;
      const Matrix& h = direction[i];
      const double fx = depth * (h.xx * dx + h.xy * dy);
      const double fy = depth * (h.yx * dx + h.yy * dy);
      for (std::size_t m = 0; m < count; ++m) {
        Oscillator& body = bodies[m];
        const double v = body.velocity + body.kick * (body.along_feed ? fx : fy);
        const double p = body.position;
        body.position = body.a11 * p + body.a12 * v;
        body.velocity = body.a21 * p + body.a22 * v;
      }
    }
    last.keep(past_x, past_y);
    // Rescaled now and then: neither dying nor growing vibration may leave the range of numbers.
    if (tooth + 3 >= teeth) continue;
    const double size = last.size();
    if (!(size > 0)) return {-10.0, 0.0};
    const double shrink = 1.0 / size;
    for (std::size_t m = 0; m < count; ++m) bodies[m].position *= shrink, bodies[m].velocity *= shrink;
    for (double& p : past_x) p *= shrink;
    for (double& p : past_y) p *= shrink;
    last.scale(shrink);
  }
  return last.dominant();
}

}  // namespace hushmill::advise
