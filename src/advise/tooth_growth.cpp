#include "advise/tooth_growth.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <vector>

#include "advise/lanes.hpp"
#include "cutting/circle.hpp"

namespace hushmill::advise {

namespace {

using cutting::kPi;
// The dominant multiplier has outgrown the others when two waves explain the next one.
constexpr int kFewestTeeth = 6;
constexpr int kMostTeeth = 48;
constexpr float kExplained = 0.02F;  // residual of the latest wave, relative
// Enough when only the sign is asked for.
constexpr float kRoughlyExplained = 0.3F;
constexpr float kPlainGrowth = 0.2F;

constexpr std::size_t kMost = FlexibleCut::kMostModes;

struct Matrix {
  Lanes xx{}, xy{}, yx{}, yy{};
};

// Integral of the directional matrix of one tooth from angle 0, with s2 and c2 a quarter of sine and cosine of twice
// the angle.
[[gnu::always_inline]] inline Matrix primitive(const Lanes& half, const Lanes& s2, const Lanes& c2,
                                               const Lanes& kr) noexcept {
  return {c2 - kr * (half - s2), kr * c2 - (half + s2), half - s2 + kr * c2, -c2 - kr * (half + s2)};
}

// Integral of the rubbing matrix of one tooth from angle 0: the flank pushes back against the velocity into the wall,
// with friction along it.
[[gnu::always_inline]] inline Matrix rubbing_primitive(const Lanes& half, const Lanes& s2, const Lanes& c2) noexcept {
  constexpr auto mu = static_cast<float>(FlexibleCut::kFriction);
  return {half - s2 - mu * c2, mu * (half + s2) - c2, -mu * (half - s2) - c2, half + s2 + mu * c2};
}

// What the force of one step is made of: force = cut (motion less that of the last tooth) - drag velocity.
struct Step {
  Matrix cut;
  Matrix drag;
};

struct Oscillators {
  std::size_t count = 0;
  Lanes a11[kMost]{}, a12[kMost]{}, a21[kMost]{}, a22[kMost]{}, kick[kMost]{}, position[kMost]{}, velocity[kMost]{};
};

struct Wave {
  Lanes x{}, y{};
};

// Everything of several cuts at one speed.
struct Batch {
  std::vector<Step> steps;
  std::array<Oscillators, 2> along;  // x and y
  std::vector<Wave> before;          // what the last tooth left
  std::vector<Wave> older;           // and the one before it
};

struct Dots {
  Lanes s00{}, s01{}, s02{}, s11{}, s12{}, s22{};
};

int steps_per_tooth(const FlexibleCut& cut, double waves) noexcept {
  double top = 1;
  for (int i = 0; i < cut.mode_count; ++i)
    top = std::max(top, std::min(2.0, cut.modes[static_cast<std::size_t>(i)].ratio));
  return std::clamp(static_cast<int>(std::ceil(14.0 * waves * top)), 24, 480);
}

void add_modes(Batch& batch, const FlexibleCut& cut, int lane, double step) noexcept {
  std::array<std::size_t, 2> taken{};
  for (int i = 0; i < cut.mode_count; ++i) {
    const CutMode& mode = cut.modes[static_cast<std::size_t>(i)];
    const std::size_t axis = mode.along_feed ? 0 : 1;
    Oscillators& all = batch.along[axis];
    const std::size_t m = taken[axis]++;
    all.count = std::max(all.count, taken[axis]);
    const double decay = mode.damping * mode.ratio;
    const double ringing = mode.ratio * std::sqrt(1.0 - mode.damping * mode.damping);
    const double e = std::exp(-decay * step);
    const double c = std::cos(ringing * step);
    const double s = std::sin(ringing * step) / ringing;
    all.a11[m][lane] = static_cast<float>(e * (c + decay * s));
    all.a12[m][lane] = static_cast<float>(e * s);
    all.a21[m][lane] = static_cast<float>(-mode.ratio * mode.ratio * e * s);
    all.a22[m][lane] = static_cast<float>(e * (c - decay * s));
    all.kick[m][lane] = static_cast<float>(mode.compliance * mode.ratio * mode.ratio * step);
    all.position[m][lane] = 1.0F;
    all.velocity[m][lane] = 0.3F;
  }
}

struct Lane {
  Lanes start{}, exit{}, radial_ratio{}, depth{}, rub{}, give_x{}, give_y{};
};

// Mean matrices of all teeth over each step of a tooth period; teeth leave and enter at exact angles. Rubbing acts at
// the velocity after the kick, so that strong rubbing does not overshoot: that is solved here, once a step.
[[gnu::always_inline]] inline void fill_steps(std::vector<Step>& steps, const Lane& lane, int flutes) {
  const double step_rad = 2 * kPi / flutes / static_cast<double>(steps.size());
  for (Step& step : steps) step = {};
  const auto per_step = static_cast<float>(1 / step_rad);
  Matrix cut_before{};
  Matrix drag_before{};
  const auto last = static_cast<int>(std::ceil(kPi / step_rad));
  for (int i = 0; i <= last; ++i) {
    const Lanes zero{};
    Lanes angle = zero + static_cast<float>(i * step_rad);
    angle = angle < lane.start ? lane.start : angle;
    angle = angle > lane.exit ? lane.exit : angle;
    Lanes s2{};
    Lanes c2{};
    for (int k = 0; k < kLanes; ++k) {
      s2[k] = 0.25F * std::sin(2 * angle[k]);
      c2[k] = 0.25F * std::cos(2 * angle[k]);
    }
    const Matrix cut = primitive(0.5F * angle, s2, c2, lane.radial_ratio);
    const Matrix drag = rubbing_primitive(0.5F * angle, s2, c2);
    if (i > 0) {
      Step& step = steps[static_cast<std::size_t>(i - 1) % steps.size()];
      step.cut.xx += per_step * (cut.xx - cut_before.xx), step.cut.xy += per_step * (cut.xy - cut_before.xy);
      step.cut.yx += per_step * (cut.yx - cut_before.yx), step.cut.yy += per_step * (cut.yy - cut_before.yy);
      step.drag.xx += per_step * (drag.xx - drag_before.xx), step.drag.xy += per_step * (drag.xy - drag_before.xy);
      step.drag.yx += per_step * (drag.yx - drag_before.yx), step.drag.yy += per_step * (drag.yy - drag_before.yy);
    }
    cut_before = cut;
    drag_before = drag;
  }
  for (Step& step : steps) {
    const Matrix h{lane.depth * step.cut.xx, lane.depth * step.cut.xy, lane.depth * step.cut.yx,
                   lane.depth * step.cut.yy};
    const Matrix r{lane.rub * step.drag.xx, lane.rub * step.drag.xy, lane.rub * step.drag.yx, lane.rub * step.drag.yy};
    // force = h d - r w, w = v + give force: (1 + r give) force = h d - r v.
    const Lanes mxx = 1.0F + r.xx * lane.give_x, mxy = r.xy * lane.give_y;
    const Lanes myx = r.yx * lane.give_x, myy = 1.0F + r.yy * lane.give_y;
    const Lanes over = 1.0F / (mxx * myy - mxy * myx);
    const auto solved = [&](const Matrix& b) {
      return Matrix{over * (myy * b.xx - mxy * b.yx), over * (myy * b.xy - mxy * b.yy),
                    over * (mxx * b.yx - myx * b.xx), over * (mxx * b.yy - myx * b.xy)};
    };
    step.cut = solved(h);
    step.drag = solved(r);
  }
}

// Square of the larger multiplier's size by the fitted pair v2 = a v1 - b v0, and the relative square of what the pair
// does not explain.
struct Fit {
  Lanes size_square, residual_square;
};

[[gnu::always_inline]] inline Fit fit(const Dots& d) {
  const Lanes zero{};
  const Lanes spread = d.s00 * d.s11 - d.s01 * d.s01;
  const LaneMask alone = spread < 1e-5F * d.s00 * d.s11;  // one real multiplier
  const Lanes safe = alone ? zero + 1.0F : spread;
  const Lanes a = (d.s12 * d.s00 - d.s02 * d.s01) / safe;
  const Lanes b = (d.s12 * d.s01 - d.s02 * d.s11) / safe;
  const Lanes s11 = d.s11 > 0 ? d.s11 : zero + 1e-30F;
  const Lanes s22 = d.s22 > 0 ? d.s22 : zero + 1e-30F;
  const Lanes explained = alone ? d.s12 * d.s12 / s11 : a * d.s12 - b * d.s02;
  const Lanes inside = 0.25F * a * a - b;
  Lanes larger{};
  for (int k = 0; k < kLanes; ++k) larger[k] = 0.5F * std::abs(a[k]) + std::sqrt(std::max(0.0F, inside[k]));
  const Lanes pair = inside < 0 ? b : larger * larger;
  return {alone ? d.s12 * d.s12 / (s11 * s11) : pair, 1.0F - explained / s22};
}

// The part of the energy of the velocity that stands in one member of the family. The wave of the dominant multiplier m
// is w = v2 - conj(m) v1; its members turn by turn + k waves per tooth.
double member_share(const Batch& batch, const ToothGrowth& growth, int k, double heard_waves) noexcept {
  using Complex = std::complex<double>;
  const bool real = growth.turn == 0 || growth.turn == 0.5;
  const Complex conjugate = std::polar(std::exp(growth.log_growth), -2 * kPi * growth.turn);
  // Of the mirrored pair the member that lies nearer to the tone.
  const double plus = growth.turn + std::round(heard_waves - growth.turn);
  const double minus = growth.turn + std::round(-heard_waves - growth.turn);
  const double waves = std::abs(plus - heard_waves) <= std::abs(minus + heard_waves) ? plus : minus;
  const std::size_t steps = batch.before.size();
  const auto at = [&](std::size_t i, bool x) -> Complex {
    const double v2 = x ? batch.before[i].x[k] : batch.before[i].y[k];
    const double v1 = x ? batch.older[i].x[k] : batch.older[i].y[k];
    return real ? Complex{v2, 0} : v2 - conjugate * v1;
  };
  const double fade = std::exp(-growth.log_growth / static_cast<double>(steps));
  const Complex turn_back = std::polar(1.0, -2 * kPi * waves / static_cast<double>(steps));
  Complex phase = 1;
  double scale = 1;
  Complex line_x;
  Complex line_y;
  double energy = 0;
  Complex x = at(0, true);
  Complex y = at(0, false);
  for (std::size_t i = 1; i < steps; ++i) {
    const Complex next_x = at(i, true);
    const Complex next_y = at(i, false);
    const Complex dx = scale * (next_x - x);
    const Complex dy = scale * (next_y - y);
    energy += std::norm(dx) + std::norm(dy);
    line_x += dx * phase;
    line_y += dy * phase;
    x = next_x;
    y = next_y;
    phase *= turn_back;
    scale *= fade;
  }
  const double line = (std::norm(line_x) + std::norm(line_y)) / static_cast<double>(steps - 1);
  const double share = energy > 0 ? line / energy : 0;
  return std::min(1.0, real ? 2 * share : share);  // a real wave has every member twice, mirrored
}

ToothGrowth dominant(const Dots& d, int k) noexcept {
  const double s00 = d.s00[k], s01 = d.s01[k], s11 = d.s11[k], s02 = d.s02[k], s12 = d.s12[k];
  if (!(s00 > 0) || !(s11 > 0)) return {-10.0, 0.0, 0.0};
  const double spread = s00 * s11 - s01 * s01;
  if (spread < 1e-5 * s00 * s11) {  // one real multiplier
    const double multiplier = s01 / s00;
    return {std::log(std::max(std::abs(multiplier), 1e-9)), multiplier < 0 ? 0.5 : 0.0, 0.0};
  }
  const double a = (s12 * s00 - s02 * s01) / spread;
  const double b = (s12 * s01 - s02 * s11) / spread;
  const double inside = 0.25 * a * a - b;
  if (inside < 0) return {0.5 * std::log(b), std::acos(std::clamp(0.5 * a / std::sqrt(b), -1.0, 1.0)) / (2 * kPi), 0.0};
  const double larger = 0.5 * a + std::copysign(std::sqrt(inside), a);
  return {std::log(std::max(std::abs(larger), 1e-9)), larger < 0 ? 0.5 : 0.0, 0.0};
}

[[gnu::always_inline]] inline bool any(const LaneMask& mask) {
  std::int32_t all = 0;
  for (int k = 0; k < kLanes; ++k) all |= mask[k];
  return all != 0;
}

[[gnu::always_inline]] inline void add_up(const Lanes* of, std::size_t count, Lanes& all) {
  for (std::size_t m = 0; m < count; ++m) all += of[m];
}

[[gnu::always_inline]] inline void push(Oscillators& all, const Lanes& force) {
  for (std::size_t m = 0; m < all.count; ++m) {
    const Lanes v = all.velocity[m] + all.kick[m] * force;
    const Lanes p = all.position[m];
    all.position[m] = all.a11[m] * p + all.a12[m] * v;
    all.velocity[m] = all.a21[m] * p + all.a22[m] * v;
  }
}

// Steps tooth after tooth until the multiplier is known.
[[gnu::always_inline]] inline Dots step_teeth(Batch& batch, Wanted wanted) {
  const std::size_t steps = batch.steps.size();
  Oscillators& along_x = batch.along[0];
  Oscillators& along_y = batch.along[1];
  std::vector<Wave>& before = batch.before;
  std::vector<Wave>& older = batch.older;
  before.assign(steps, {});
  older.assign(steps, {});
  Dots dots;
  for (int tooth = 1; tooth <= kMostTeeth; ++tooth) {
    dots.s00 = dots.s11, dots.s01 = dots.s12, dots.s11 = dots.s22;
    Lanes s02{}, s12{}, s22{};
    for (std::size_t i = 0; i < steps; ++i) {
      // Whole vectors only, one by one: copied as part of a structure they are moved in halves, and waited for.
      Lanes x{}, y{}, vx{}, vy{};
      add_up(along_x.position, along_x.count, x);
      add_up(along_y.position, along_y.count, y);
      add_up(along_x.velocity, along_x.count, vx);
      add_up(along_y.velocity, along_y.count, vy);
      const Lanes past_x = before[i].x;
      const Lanes past_y = before[i].y;
      s22 += x * x + y * y;
      s12 += x * past_x + y * past_y;
      s02 += x * older[i].x + y * older[i].y;
      older[i].x = past_x;
      older[i].y = past_y;
      before[i].x = x;
      before[i].y = y;
      const Step& step = batch.steps[i];
      const Lanes dx = x - past_x;
      const Lanes dy = y - past_y;
      push(along_x, (step.cut.xx * dx + step.cut.xy * dy) - (step.drag.xx * vx + step.drag.xy * vy));
      push(along_y, (step.cut.yx * dx + step.cut.yy * dy) - (step.drag.yx * vx + step.drag.yy * vy));
    }
    dots.s02 = s02, dots.s12 = s12, dots.s22 = s22;
    if (tooth >= kFewestTeeth && tooth % 2 == 0) {
      const Fit now = fit(dots);
      LaneMask open = now.residual_square > kExplained * kExplained;
      if (wanted == Wanted::sign) {
        const Lanes& square = now.size_square;
        constexpr float kGrows = 1.4918247F;  // exp(2 kPlainGrowth)
        static_assert(kPlainGrowth == 0.2F);
        open &= (now.residual_square > kRoughlyExplained * kRoughlyExplained) |
                ((square < kGrows) & (square > 1.0F / kGrows));
      }
      if (!any(open)) break;
    }
    // Neither dying nor growing vibration may leave the range of numbers.
    constexpr float kSmall = 1e-10F;
    constexpr float kLarge = 1e10F;
    if (!any((s22 < kSmall) | (s22 > kLarge)) || tooth == kMostTeeth) continue;
    Lanes shrink{};
    for (int k = 0; k < kLanes; ++k) shrink[k] = s22[k] > 0 ? 1.0F / std::sqrt(s22[k]) : 1.0F;
    for (Oscillators& all : batch.along)
      for (std::size_t m = 0; m < kMost; ++m) all.position[m] *= shrink, all.velocity[m] *= shrink;
    for (std::size_t i = 0; i < steps; ++i) {
      before[i].x *= shrink, before[i].y *= shrink;
      older[i].x *= shrink, older[i].y *= shrink;
    }
    const Lanes square = shrink * shrink;
    dots.s00 *= square, dots.s01 *= square, dots.s02 *= square;
    dots.s11 *= square, dots.s12 *= square, dots.s22 *= square;
  }
  return dots;
}

#if defined(__x86_64__) && defined(__GNUC__) && !defined(_WIN32)
// One register for eight lanes where the processor has it; the same arithmetic, the same bits. Not on Windows, where GCC keeps
// the stack at 16 bytes (its bug 54412, from memory) and these registers need 32.
[[gnu::target("avx2")]] Dots step_teeth_wide(Batch& batch, Wanted wanted) { return step_teeth(batch, wanted); }
bool wide_registers() noexcept {
  static const bool known = __builtin_cpu_supports("avx2") != 0;
  return known;
}
#else
Dots step_teeth_wide(Batch& batch, Wanted wanted) { return step_teeth(batch, wanted); }
bool wide_registers() noexcept { return false; }
#endif

Dots step_teeth_narrow(Batch& batch, Wanted wanted) { return step_teeth(batch, wanted); }

}  // namespace

void tooth_growths(std::span<const FlexibleCut* const> cuts, double spindle_rpm, int flutes, double depth_factor,
                   Wanted wanted, std::span<ToothGrowth> growths, double heard_waves) {
  const double tooth_s = 60.0 / (spindle_rpm * flutes);
  for (std::size_t from = 0; from < cuts.size(); from += kLanes) {
    const std::size_t count = std::min<std::size_t>(kLanes, cuts.size() - from);
    int steps = 0;
    for (std::size_t k = 0; k < count; ++k)
      steps = std::max(steps, steps_per_tooth(*cuts[from + k], cuts[from + k]->first_mode_hz * tooth_s));
    Batch batch;
    batch.steps.resize(static_cast<std::size_t>(steps));
    Lane lane;
    for (int k = 0; k < kLanes; ++k) {  // lanes without a cut repeat the last
      const FlexibleCut& cut = *cuts[from + std::min(static_cast<std::size_t>(k), count - 1)];
      // Time in units of 1 / first mode's angular frequency.
      const double step = 2 * kPi * cut.first_mode_hz * tooth_s / steps;
      add_modes(batch, cut, k, step);
      lane.start[k] = static_cast<float>(cut.start_rad);
      lane.exit[k] = static_cast<float>(cut.exit_rad);
      lane.radial_ratio[k] = static_cast<float>(cut.radial_ratio);
      const double depth = depth_factor * cut.depth * 4 * kPi / flutes;
      // Rubbing force per velocity in units of the first mode's angular frequency; goes with 1 / surface speed.
      const double surface_mm_s = kPi * cut.diameter_mm * spindle_rpm / 60;
      lane.depth[k] = static_cast<float>(depth);
      lane.rub[k] = static_cast<float>(depth * cut.rub_length_mm * 2 * kPi * cut.first_mode_hz / surface_mm_s);
    }
    for (std::size_t m = 0; m < kMost; ++m)
      lane.give_x += batch.along[0].kick[m], lane.give_y += batch.along[1].kick[m];
    fill_steps(batch.steps, lane, flutes);
    const Dots dots = wide_registers() ? step_teeth_wide(batch, wanted) : step_teeth_narrow(batch, wanted);
    for (std::size_t k = 0; k < count; ++k) {
      ToothGrowth& growth = growths[from + k] = dominant(dots, static_cast<int>(k));
      if (heard_waves > 0) growth.share = member_share(batch, growth, static_cast<int>(k), heard_waves);
    }
  }
}

ToothGrowth tooth_growth(const FlexibleCut& cut, double spindle_rpm, int flutes, double depth_factor, Wanted wanted) {
  const FlexibleCut* const one = &cut;
  ToothGrowth growth;
  tooth_growths({&one, 1}, spindle_rpm, flutes, depth_factor, wanted, {&growth, 1});
  return growth;
}

}  // namespace hushmill::advise
