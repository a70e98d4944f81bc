#include "cutting/semi_discretization.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <cstddef>

#include "cutting/directional.hpp"
#include "cutting/dominant_multiplier.hpp"
#include "cutting/small_exponential.hpp"

namespace hushmill::cutting {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double kTurn = 2.0 * kPi;
constexpr double kSliceRad = 0.06;
constexpr int kMostSlices = 24;

Eigen::Matrix2d to_eigen(const Matrix2& m) { return (Eigen::Matrix2d() << m.xx, m.xy, m.yx, m.yy).finished(); }

}  // namespace

/// The cut at one speed and depth, cut into intervals: y' = P y + (R0 − R1) w(start) + R1 w(end), where y are the modes
/// (ω·q, v), w the force that the earlier passes cause, and u = C y the displacement (x, y).
struct SemiDiscretization::Problem {
  struct Delayed {          // an earlier pass, seen from the start of an interval
    Index back = 0;         // whole intervals
    double share = 0;       // and this part of the next one further back
    Eigen::Matrix2d force;  // force per displacement
  };
  struct Step {
    MatrixXd keep, start, end;     // P, R0 − R1, R1
    std::vector<Delayed> delayed;  // none: out of the cut
  };
  std::vector<Step> steps;
  MatrixXd output;   // C
  Index memory = 0;  // displacements kept, besides the modes
  double interval_s = 0;

  Index state_size() const { return output.cols() + 2 * memory; }

  /// One period. The state is the modes now, then the displacements one, two, … intervals ago. `track` gets the
  /// displacement at the start of each interval if it is given.
  void advance(const VectorXd& from, VectorXd& to, MatrixXd* track = nullptr) const {
    const Index modes = output.cols();
    const auto count = static_cast<Index>(steps.size());
    MatrixXd history(2, memory + count + 1);  // column memory + i: displacement at the start of interval i
    for (Index back = 1; back <= memory; ++back) history.col(memory - back) = from.segment(modes + 2 * (back - 1), 2);
    VectorXd y = from.head(modes);
    VectorXd next(modes);
    history.col(memory) = output * y;
    for (Index i = 0; i < count; ++i) {
      const Step& step = steps[static_cast<std::size_t>(i)];
      next.noalias() = step.keep * y;
      if (!step.delayed.empty()) {
        Eigen::Vector2d start = Eigen::Vector2d::Zero();
        Eigen::Vector2d end = Eigen::Vector2d::Zero();
        for (const Delayed& d : step.delayed) {
          const Index at = memory + i - d.back;
          const Eigen::Vector2d before = history.col(at) + d.share * (history.col(at - 1) - history.col(at));
          const Eigen::Vector2d after = history.col(at + 1) + d.share * (history.col(at) - history.col(at + 1));
          start.noalias() += d.force * before;
          end.noalias() += d.force * after;
        }
        next.noalias() += step.start * start + step.end * end;
      }
      y.swap(next);
      history.col(memory + i + 1) = output * y;
    }
    to.resize(from.size());
    to.head(modes) = y;
    for (Index back = 1; back <= memory; ++back)
      to.segment(modes + 2 * (back - 1), 2) = history.col(memory + count - back);
    if (track != nullptr) *track = history.middleCols(memory, count);
  }
};

SemiDiscretization::SemiDiscretization(const CutModel& model, double radial_mm, Milling milling,
                                       SemiDiscretizationSettings settings)
    : model_(model),
      arc_(engaged_arc(radial_mm / model.cutter.diameter_mm, milling)),
      settings_(settings),
      pitch_rad_(pitch_rad(model.cutter)) {
  const auto add = [this](const std::vector<Mode>& modes, bool along_y) {
    for (const Mode& mode : modes) {
      modes_.push_back(mode);
      along_y_.push_back(along_y);
      highest_hz_ = std::max(highest_hz_, mode.natural_hz);
    }
  };
  add(model.structure.tool_x, false);
  add(model.structure.part_x, false);
  add(model.structure.tool_y, true);
  add(model.structure.part_y, true);
  const auto flutes = pitch_rad_.size();
  for (std::size_t period = 1; period <= flutes; ++period) {
    if (flutes % period != 0) continue;
    bool repeats = true;
    for (std::size_t j = 0; j < flutes; ++j) {
      repeats = repeats && std::abs(pitch_rad_[j] - pitch_rad_[(j + period) % flutes]) < 1e-9;
    }
    if (repeats) {
      teeth_per_period_ = static_cast<int>(period);
      break;
    }
  }
}

int SemiDiscretization::intervals(double spindle_rpm) const noexcept {
  const double tooth_s = 60.0 / (spindle_rpm * model_.cutter.flutes);
  const double wanted = std::ceil(settings_.intervals_per_wave * highest_hz_ * tooth_s);
  return static_cast<int>(std::clamp(wanted, static_cast<double>(settings_.least_intervals),
                                     static_cast<double>(settings_.most_intervals)));
}

SemiDiscretization::Problem SemiDiscretization::problem(double spindle_rpm, double depth_mm, int intervals) const {
  const auto flutes = pitch_rad_.size();
  const int count = intervals * teeth_per_period_;
  double period_rad = 0;
  for (int j = 0; j < teeth_per_period_; ++j) period_rad += pitch_rad_[static_cast<std::size_t>(j)];
  const double interval_rad = period_rad / count;
  const double interval_s = interval_rad / kTurn * 60.0 / spindle_rpm;
  const double depth_m = 1e-3 * depth_mm;
  const double radius_m = 0.5e-3 * model_.cutter.diameter_mm;
  const double helix_rad = depth_m * std::tan(model_.cutter.helix_deg * kPi / 180.0) / radius_m;
  const int slices = std::clamp(static_cast<int>(std::ceil(helix_rad / kSliceRad)), 1, kMostSlices);
  const double surface_m_s = kTurn * radius_m * spindle_rpm / 60.0;
  const auto modes = static_cast<Index>(2 * modes_.size());

  Problem made;
  made.interval_s = interval_s;
  made.output = MatrixXd::Zero(2, modes);
  MatrixXd still = MatrixXd::Zero(modes, modes);  // the modes alone
  MatrixXd input = MatrixXd::Zero(modes, 2);      // force to modes
  MatrixXd speed = MatrixXd::Zero(2, modes);      // modes to velocity
  for (std::size_t m = 0; m < modes_.size(); ++m) {
    const auto row = static_cast<Index>(2 * m);
    const Index axis = along_y_[m] ? 1 : 0;
    const double omega = modes_[m].omega();
    still(row, row + 1) = omega;
    still(row + 1, row) = -omega;
    still(row + 1, row + 1) = -2.0 * modes_[m].damping_ratio * omega;
    input(row + 1, axis) = 1.0 / modes_[m].mass_kg();
    made.output(axis, row) = 1.0 / omega;
    speed(axis, row + 1) = 1.0;
  }

  std::vector<double> offset(flutes, 0.0);
  for (std::size_t j = 1; j < flutes; ++j) offset[j] = offset[j - 1] + pitch_rad_[j];
  double longest_rad = 0;
  for (const double pitch : pitch_rad_) longest_rad = std::max(longest_rad, pitch);
  made.memory = static_cast<Index>(std::ceil(longest_rad / interval_rad - 1e-9)) + 1;

  const auto step_for = [&](const Eigen::Matrix2d& force, const Eigen::Matrix2d& damping) {
    // exp of [[A, B, 0], [0, 0, I], [0, 0, 0]] · Δt holds P, R0 and Δt·R1 side by side.
    MatrixXd big = MatrixXd::Zero(modes + 4, modes + 4);
    big.topLeftCorner(modes, modes) = (still + input * (force * made.output + damping * speed)) * interval_s;
    big.block(0, modes, modes, 2) = input * interval_s;
    big.block(modes, modes + 2, 2, 2).setIdentity();
    const MatrixXd result = small_exponential(big);
    Problem::Step step;
    step.keep = result.topLeftCorner(modes, modes);
    step.end = result.block(0, modes + 2, modes, 2);
    step.start = result.block(0, modes, modes, 2) - step.end;
    return step;
  };
  const Problem::Step in_air = step_for(Eigen::Matrix2d::Zero(), Eigen::Matrix2d::Zero());

  for (int i = 0; i < count; ++i) {
    Eigen::Matrix2d all = Eigen::Matrix2d::Zero();
    Eigen::Matrix2d damping = Eigen::Matrix2d::Zero();
    std::vector<Problem::Delayed> delayed;
    for (std::size_t j = 0; j < flutes; ++j) {
      AngleIntegral mean;
      for (int s = 0; s < slices; ++s) {
        const double from = i * interval_rad - offset[j] - helix_rad * (s + 0.5) / slices;
        mean += integral_in_arc(from, from + interval_rad, arc_);
      }
      if (mean.sin_sin == 0 && mean.cos_cos == 0) continue;
      mean *= 1.0 / (interval_rad * slices);
      const Eigen::Matrix2d force = depth_m * to_eigen(stiffness_n_m2(model_.force, mean));
      all += force;
      damping += depth_m * model_.force.process_damping_n_m / surface_m_s * to_eigen(rubbing(mean));
      const double back = pitch_rad_[j] / interval_rad;
      const double whole = std::floor(back + 1e-9);
      delayed.push_back({static_cast<Index>(whole), std::max(back - whole, 0.0), -force});
    }
    if (delayed.empty()) {
      made.steps.push_back(in_air);
    } else {
      made.steps.push_back(step_for(all, damping));
      made.steps.back().delayed = std::move(delayed);
    }
  }
  return made;
}

double SemiDiscretization::radius(double spindle_rpm, double depth_mm, int intervals) const {
  const Problem cut = problem(spindle_rpm, depth_mm, intervals);
  const auto map = [&cut](const VectorXd& from, VectorXd& to) { cut.advance(from, to); };
  return std::abs(dominant_multiplier(cut.state_size(), map).value);
}

Multiplier SemiDiscretization::multiplier(double spindle_rpm, double depth_mm, int intervals_wanted) const {
  const Problem cut = problem(spindle_rpm, depth_mm, intervals_wanted > 0 ? intervals_wanted : intervals(spindle_rpm));
  const auto map = [&cut](const VectorXd& from, VectorXd& to) { cut.advance(from, to); };
  const DominantMultiplier found = dominant_multiplier(cut.state_size(), map);
  const auto count = static_cast<Index>(cut.steps.size());
  Multiplier result{
      .value = found.value, .period_s = cut.interval_s * static_cast<double>(count), .residual = found.residual};

  // The motion is exp(λt) times something periodic; the strongest line of that, moved by λ, is the strongest line there
  // is.
  Eigen::MatrixXd real_track;
  Eigen::MatrixXd imaginary_track;
  VectorXd unused(cut.state_size());
  cut.advance(found.vector.real(), unused, &real_track);
  cut.advance(found.vector.imag(), unused, &imaginary_track);
  const std::complex<double> lambda = std::log(found.value) / result.period_s;
  const auto lines = std::min(count / 2, static_cast<Index>(std::ceil(2.0 * highest_hz_ * result.period_s)) + 1);
  double strongest = -1;
  for (Index line = -lines; line <= lines; ++line) {
    const double hz = static_cast<double>(line) / result.period_s;
    const std::complex<double> step = std::exp(-(lambda + std::complex<double>(0, kTurn * hz)) * cut.interval_s);
    std::complex<double> turn = 1.0;
    std::complex<double> x;
    std::complex<double> y;
    for (Index i = 0; i < count; ++i) {
      x += turn * std::complex<double>(real_track(0, i), imaginary_track(0, i));
      y += turn * std::complex<double>(real_track(1, i), imaginary_track(1, i));
      turn *= step;
    }
    const double level = std::norm(x) + std::norm(y);
    if (level > strongest) {
      strongest = level;
      result.chatter_hz = std::abs(hz + lambda.imag() / kTurn);
    }
  }
  return result;
}

StabilityLimit SemiDiscretization::limit(double spindle_rpm, double greatest_depth_mm, double step_mm) const {
  const int fine = intervals(spindle_rpm);
  const int coarse = std::max(fine / 2, 20);
  const auto growth = [&](double depth_mm, int intervals) {
    return std::log(radius(spindle_rpm, depth_mm, intervals));
  };
  // Lower end stable and upper end unstable, both by the fine intervals: the coarse scan only says where to look.
  double low_mm = 0;
  double high_mm = 0;
  double low = -1;
  double high = -1;
  while (high < 0) {
    if (high_mm > 0) {
      low_mm = high_mm;
      low = high;
    }
    do {
      high_mm += step_mm;
      if (high_mm > greatest_depth_mm) return {.spindle_rpm = spindle_rpm, .depth_mm = greatest_depth_mm, .open = true};
    } while (growth(high_mm, coarse) < 0);
    high = growth(high_mm, fine);
    // A step or more was passed over as stable: the fine intervals must say so of the last of them.
    const double before_mm = high_mm - step_mm;
    if (high >= 0 && before_mm > low_mm) {
      const double before = growth(before_mm, fine);
      (before < 0 ? low_mm : high_mm) = before_mm;
      (before < 0 ? low : high) = before;
    }
  }
  // Regula falsi after Illinois (M. Dowell, P. Jarratt, BIT 11 (1971) 168-174): the growth rate is nearly straight.
  double weighed_low = low;
  double weighed_high = high;
  bool moved_low_before = false;
  for (int round = 0; round < 60 && high_mm - low_mm > settings_.depth_tolerance * high_mm; ++round) {
    double share = weighed_low / (weighed_low - weighed_high);
    if (low_mm == 0 || round >= 20)
      share = 0.5;  // nothing is known of no depth at all; and an end in sight in any case
    const double middle_mm = low_mm + std::clamp(share, 0.02, 0.98) * (high_mm - low_mm);
    const double middle = growth(middle_mm, fine);
    const bool moves_low = middle < 0;
    if (moves_low) {
      low_mm = middle_mm;
      weighed_low = middle;
      if (moved_low_before) weighed_high *= 0.5;
    } else {
      high_mm = middle_mm;
      weighed_high = middle;
      if (!moved_low_before && round > 0) weighed_low *= 0.5;
    }
    moved_low_before = moves_low;
  }
  const Multiplier at_limit = multiplier(spindle_rpm, high_mm);
  const bool doubling = at_limit.value.real() < 0 && std::abs(at_limit.value.imag()) < 1e-6 * std::abs(at_limit.value);
  return {.spindle_rpm = spindle_rpm,
          .depth_mm = 0.5 * (low_mm + high_mm),
          .open = false,
          .chatter_hz = at_limit.chatter_hz,
          .kind = doubling ? ChatterKind::period_doubling : ChatterKind::hopf};
}

}  // namespace hushmill::cutting
