// What one period of the cut does to a small disturbance, by semi-discretization at one speed and depth.
//
// Over each short interval y' = P y + (R0 − R1) w(start) + R1 w(end): y the modes as (ω·q, v), w the force that earlier
// passes cause, its directional factors averaged over the interval exactly. First order of T. Insperger, G. Stépán,
// Int. J. Numer. Meth. Engng 61 (2004) 117-141 (from memory). Allocates. One thread at a time.
#pragma once

#include <Eigen/Dense>
#include <vector>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"

namespace hushmill::cutting {

class PeriodMap {
 public:
  /// The period is a tooth, or as many as it takes until the pitch repeats; `intervals` is per tooth. The model must
  /// hold `check`.
  PeriodMap(const CutModel& model, const Arc& arc, double spindle_rpm, double depth_mm, int intervals);

  /// The state: the modes now, then the displacements (x, y) one, two, … intervals ago.
  Eigen::Index state_size() const { return output_.cols() + 2 * memory_; }
  Eigen::Index intervals() const { return static_cast<Eigen::Index>(steps_.size()); }
  double interval_s() const { return interval_s_; }
  double period_s() const { return interval_s_ * static_cast<double>(steps_.size()); }

  /// One period on. `track`, if given, gets the displacement at the start of each interval, a column each.
  void advance(const Eigen::VectorXd& from, Eigen::VectorXd& to, Eigen::MatrixXd* track = nullptr) const;

 private:
  struct Delayed {          // an earlier pass, seen from the start of an interval
    Eigen::Index back = 0;  // whole intervals
    double share = 0;       // and this part of the next one further back
    Eigen::Matrix2d force;  // force per displacement
  };
  struct Step {
    Eigen::MatrixXd keep, start, end;  // P, R0 − R1, R1
    std::vector<Delayed> delayed;      // none: out of the cut
  };
  struct Modes;
  Step step(const Modes& modes, const Eigen::Matrix2d& force, const Eigen::Matrix2d& damping) const;

  std::vector<Step> steps_;
  Eigen::MatrixXd output_;   // modes to displacement
  Eigen::Index memory_ = 0;  // displacements kept, besides the modes
  double interval_s_ = 0;
};

}  // namespace hushmill::cutting
