#include "advise/tooth_growth.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

namespace hushmill::advise {

namespace {

constexpr double kPi = std::numbers::pi;
// The dominant multiplier has outgrown the others when two waves explain the next one.
constexpr int kFewestTeeth = 6;
constexpr int kMostTeeth = 48;
constexpr double kExplained = 0.02;  // residual of the latest wave, relative
// Enough when only the sign is asked for.
constexpr double kRoughlyExplained = 0.3;
constexpr double kPlainGrowth = 0.2;

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

// Integral of the rubbing matrix of one tooth from angle 0: the flank pushes back against the velocity into the wall,
// with friction along it.
Matrix rubbing_primitive(double a) noexcept {
  constexpr double mu = FlexibleCut::kFriction;
  const double s2 = 0.25 * std::sin(2 * a);
  const double c2 = 0.25 * std::cos(2 * a);
  const double half = 0.5 * a;
  return {half - s2 - mu * c2, mu * (half + s2) - c2, -mu * (half - s2) - c2, half + s2 + mu * c2};
}

// Mean matrix of all teeth over each step of a tooth period; teeth leave and enter at exact angles.
template <typename Primitive>
std::vector<Matrix> mean_steps(const FlexibleCut& cut, int flutes, int steps, Primitive primitive_at) {
  std::vector<Matrix> all(static_cast<std::size_t>(steps));
  const double step_rad = 2 * kPi / flutes / steps;
  for (int i = 0; i < steps * flutes; ++i) {
    const double from = std::max(i * step_rad, cut.start_rad);
    const double to = std::min((i + 1) * step_rad, cut.exit_rad);
    if (from >= to) continue;
    const Matrix a = primitive_at(from);
    const Matrix b = primitive_at(to);
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
  /// Part of the last wave that the two before do not explain, 0 to 1.
  double residual() const noexcept {
    const double s00 = dot(0, 0), s01 = dot(0, 1), s11 = dot(1, 1), s02 = dot(0, 2), s12 = dot(1, 2), s22 = dot(2, 2);
    const double spread = s00 * s11 - s01 * s01;
    if (!(s22 > 0)) return 0;
    double explained = 0;
    if (spread < 1e-9 * s00 * s11) {
      if (s11 > 0) explained = s12 * s12 / s11;
    } else {
      explained = (s12 * (s12 * s00 - s02 * s01) + s02 * (s02 * s11 - s12 * s01)) / spread;
    }
    return std::sqrt(std::max(0.0, 1.0 - explained / s22));
  }
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

ToothGrowth tooth_growth(const FlexibleCut& cut, double spindle_rpm, int flutes,
                         double depth_factor, Wanted wanted) {
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
    const double damping = mode.damping;
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
  const std::vector<Matrix> direction =
      mean_steps(cut, flutes, steps, [&](double a) { return primitive(a, cut.radial_ratio); });
  const std::vector<Matrix> rubbing = mean_steps(cut, flutes, steps, rubbing_primitive);
  const double depth = depth_factor * cut.depth * 4 * kPi / flutes;
  // Rubbing force per velocity in units of the first mode's angular frequency; goes with 1 / surface speed.
  const double surface_mm_s = kPi * cut.diameter_mm * spindle_rpm / 60;
  const double rub = depth * cut.rub_length_mm * 2 * kPi * cut.first_mode_hz / surface_mm_s;
  double give_x = 0;
  double give_y = 0;
  for (std::size_t m = 0; m < count; ++m) (bodies[m].along_feed ? give_x : give_y) += bodies[m].kick;
  std::vector<double> past_x(direction.size(), 0.0);
  std::vector<double> past_y(direction.size(), 0.0);
  Succession last;

  for (int tooth = 1; tooth <= kMostTeeth; ++tooth) {
    last.next_tooth();
    for (std::size_t i = 0; i < direction.size(); ++i) {
      double x = 0;
      double y = 0;
      double vx = 0;
      double vy = 0;
      for (std::size_t m = 0; m < count; ++m) {
        (bodies[m].along_feed ? x : y) += bodies[m].position;
        (bodies[m].along_feed ? vx : vy) += bodies[m].velocity;
      }
      const double dx = x - past_x[i];
      const double dy = y - past_y[i];
      past_x[i] = x;
      past_y[i] = y;
      const Matrix& h = direction[i];
      double fx = depth * (h.xx * dx + h.xy * dy);
      double fy = depth * (h.yx * dx + h.yy * dy);
      // Rubbing at the velocity after the kick, so that strong rubbing does not overshoot.
      const Matrix& r = rubbing[i];
      const double ax = vx + give_x * fx;
      const double ay = vy + give_y * fy;
      const double mxx = 1 + give_x * rub * r.xx, mxy = give_x * rub * r.xy;
      const double myx = give_y * rub * r.yx, myy = 1 + give_y * rub * r.yy;
      const double determinant = mxx * myy - mxy * myx;
      const double wx = (myy * ax - mxy * ay) / determinant;
      const double wy = (mxx * ay - myx * ax) / determinant;
      fx -= rub * (r.xx * wx + r.xy * wy);
      fy -= rub * (r.yx * wx + r.yy * wy);
      for (std::size_t m = 0; m < count; ++m) {
        Oscillator& body = bodies[m];
        const double v = body.velocity + body.kick * (body.along_feed ? fx : fy);
        const double p = body.position;
        body.position = body.a11 * p + body.a12 * v;
        body.velocity = body.a21 * p + body.a22 * v;
      }
    }
    last.keep(past_x, past_y);
    if (tooth >= kFewestTeeth && tooth % 2 == 0) {
      const double residual = last.residual();
      if (residual < kExplained) break;
      if (wanted == Wanted::sign && residual < kRoughlyExplained &&
          std::abs(last.dominant().log_growth) > kPlainGrowth)
        break;
    }
    // Rescaled at each tooth: neither dying nor growing vibration may leave the range of numbers.
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
