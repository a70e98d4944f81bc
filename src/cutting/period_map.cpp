#include "cutting/period_map.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "cutting/directional.hpp"
#include "cutting/small_exponential.hpp"

namespace hushmill::cutting {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::Vector2d;
using Eigen::VectorXd;

constexpr double kSliceRad = 0.06;  // of the helix
constexpr int kMostSlices = 24;

Eigen::Matrix2d to_eigen(const Matrix2& m) { return (Eigen::Matrix2d() << m.xx, m.xy, m.yx, m.yy).finished(); }

}  // namespace

/// The structure alone: y' = still·y + input·force, velocity = speed·y.
struct PeriodMap::Modes {
  MatrixXd still, input, speed, output;

  explicit Modes(const Structure& s) {
    const auto count = static_cast<Index>(s.tool_x.size() + s.part_x.size() + s.tool_y.size() + s.part_y.size());
    still = MatrixXd::Zero(2 * count, 2 * count);
    input = MatrixXd::Zero(2 * count, 2);
    speed = output = MatrixXd::Zero(2, 2 * count);
    Index row = 0;
    const auto add = [&](const std::vector<Mode>& modes, Index axis) {
      for (const Mode& mode : modes) {
        const double omega = mode.omega();
        still(row, row + 1) = omega;
        still(row + 1, row) = -omega;
        still(row + 1, row + 1) = -2.0 * mode.damping_ratio * omega;
        input(row + 1, axis) = 1.0 / mode.mass_kg();
        output(axis, row) = 1.0 / omega;
        speed(axis, row + 1) = 1.0;
        row += 2;
      }
    };
    add(s.tool_x, 0);
    add(s.part_x, 0);
    add(s.tool_y, 1);
    add(s.part_y, 1);
  }
};

PeriodMap::Step PeriodMap::step(const Modes& modes, const Eigen::Matrix2d& force,
                                const Eigen::Matrix2d& damping) const {
  // exp of [[A, B, 0], [0, 0, I], [0, 0, 0]] · Δt holds P, R0 and R1 side by side.
  const Index size = modes.still.rows();
  MatrixXd big = MatrixXd::Zero(size + 4, size + 4);
  big.topLeftCorner(size, size) =
      (modes.still + modes.input * (force * modes.output + damping * modes.speed)) * interval_s_;
  big.block(0, size, size, 2) = modes.input * interval_s_;
  big.block(size, size + 2, 2, 2).setIdentity();
  const MatrixXd result = small_exponential(big);
  Step made;
  made.keep = result.topLeftCorner(size, size);
  made.end = result.block(0, size + 2, size, 2);
  made.start = result.block(0, size, size, 2) - made.end;
  return made;
}

PeriodMap::PeriodMap(const CutModel& model, const Arc& arc, double spindle_rpm, double depth_mm, int intervals) {
  const std::vector<double> pitch = pitch_rad(model.cutter);
  const int teeth = pattern_teeth(model.cutter);
  double period_rad = 0;
  for (int j = 0; j < teeth; ++j) period_rad += pitch[static_cast<std::size_t>(j)];
  const int count = intervals * teeth;
  const double interval_rad = period_rad / count;
  interval_s_ = interval_rad / kTurn * 60.0 / spindle_rpm;
  memory_ = static_cast<Index>(std::ceil(*std::max_element(pitch.begin(), pitch.end()) / interval_rad - 1e-9)) + 1;

  const double depth_m = 1e-3 * depth_mm;
  const double radius_m = 0.5e-3 * model.cutter.diameter_mm;
  const double helix_rad = depth_m * std::tan(model.cutter.helix_deg * kPi / 180.0) / radius_m;
  const int slices = std::clamp(static_cast<int>(std::ceil(helix_rad / kSliceRad)), 1, kMostSlices);
  const double surface_m_s = kTurn * radius_m * spindle_rpm / 60.0;
  const double rubbing_n_s_m = depth_m * model.force.process_damping_n_m / surface_m_s;

  const Modes modes(model.structure);
  output_ = modes.output;
  const Step in_air = step(modes, Eigen::Matrix2d::Zero(), Eigen::Matrix2d::Zero());
  steps_.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) {
    Eigen::Matrix2d force = Eigen::Matrix2d::Zero();
    Eigen::Matrix2d damping = Eigen::Matrix2d::Zero();
    std::vector<Delayed> delayed;
    double offset = 0;
    for (std::size_t j = 0; j < pitch.size(); ++j) {
      if (j > 0) offset += pitch[j];
      AngleIntegral mean;
      for (int s = 0; s < slices; ++s) {
        const double from = i * interval_rad - offset - helix_rad * (s + 0.5) / slices;
        mean += integral_in_arc(from, from + interval_rad, arc);
      }
      if (mean.sin_sin == 0 && mean.cos_cos == 0) continue;
      mean *= 1.0 / (interval_rad * slices);
      const Eigen::Matrix2d of_tooth = depth_m * to_eigen(stiffness_n_m2(model.force, mean));
      force += of_tooth;
      damping += rubbing_n_s_m * to_eigen(rubbing(mean));
      const double back = pitch[j] / interval_rad;
      const double whole = std::floor(back + 1e-9);
      delayed.push_back({static_cast<Index>(whole), std::max(back - whole, 0.0), -of_tooth});
    }
    steps_.push_back(delayed.empty() ? in_air : step(modes, force, damping));
    steps_.back().delayed = std::move(delayed);
  }
}

void PeriodMap::advance(const VectorXd& from, VectorXd& to, MatrixXd* track) const {
  const Index modes = output_.cols();
  const Index count = intervals();
  MatrixXd history(2, memory_ + count + 1);  // column memory + i: displacement at the start of interval i
  for (Index back = 1; back <= memory_; ++back) history.col(memory_ - back) = from.segment(modes + 2 * (back - 1), 2);
  VectorXd y = from.head(modes);
  VectorXd next(modes);
  history.col(memory_) = output_ * y;
  for (Index i = 0; i < count; ++i) {
    const Step& step = steps_[static_cast<std::size_t>(i)];
    next.noalias() = step.keep * y;
    if (!step.delayed.empty()) {
      Vector2d start = Vector2d::Zero();
      Vector2d end = Vector2d::Zero();
      for (const Delayed& d : step.delayed) {
        const Index at = memory_ + i - d.back;
        const Vector2d before = history.col(at) + d.share * (history.col(at - 1) - history.col(at));
        const Vector2d after = history.col(at + 1) + d.share * (history.col(at) - history.col(at + 1));
        start.noalias() += d.force * before;
        end.noalias() += d.force * after;
      }
      next.noalias() += step.start * start + step.end * end;
    }
    y.swap(next);
    history.col(memory_ + i + 1) = output_ * y;
  }
  to.resize(from.size());
  to.head(modes) = y;
  for (Index back = 1; back <= memory_; ++back) {
    to.segment(modes + 2 * (back - 1), 2) = history.col(memory_ + count - back);
  }
  if (track != nullptr) *track = history.middleCols(memory_, count);
}

}  // namespace hushmill::cutting
