// The force of all teeth on the tool, from where the tool is and where it was when earlier teeth passed.
//
// Each flute is sliced along its helix. A slice's chip is what is left outside the deepest of several earlier passes,
// so a tooth may leave the cut and the next one finds its uncut wave: that is what bounds chatter. One pass of it is
// the regenerative model of J. Tlusty; the radial chip of a circular tooth path is the usual approximation. Allocates
// in the constructor only. One thread.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"
#include "rig/past.hpp"
#include "rig/tip.hpp"

namespace hushmill::rig {

/// How the tool stands in the material for the next few steps.
struct Engaged {
  cutting::Arc arc;
  double depth_m = 0;
  double feed_per_tooth_m = 0;
  double feed_direction_rad = 0;  ///< from the table's x axis
  double angle_per_step_rad = 0;
  double surface_speed_m_s = 0;
};

/// What the modes would do in this step; positions are of the tool over the material, travel of the feed included.
struct Motion {
  double angle_rad = 0;  ///< spindle angle at the end of the step
  Pair expected_m;       ///< if the force stayed as it was
  Pair without_force_m;  ///< if it fell to zero
  Pair velocity_m_s;
  Pair gain_m_n;  ///< displacement per newton at the end of the step
};

struct CutForce {
  Pair on_tool_n;           ///< table directions
  double tangential_n = 0;  ///< sum over the teeth: torque over radius
  bool lifted = false;      ///< a tooth that should cut touched nothing
};

class Cut {
 public:
  Cut(const cutting::CutModel& model, bool regeneration);

  /// Spindle angles between a tooth and those before it: what `Past` must be built with.
  const std::vector<double>& lags_rad() const noexcept { return lags_rad_; }
  double longest_lag_rad() const noexcept { return longest_lag_rad_; }

  void engage(const Engaged& engaged) noexcept;
  /// Force at the end of the step, which the displacement it causes is part of (solved for, not lagged). `roughness` is
  /// the relative deviation of the material's resistance from its mean.
  CutForce force(const Motion& motion, Past& past, double roughness) noexcept;

 private:
  static constexpr int kMostSlices = 16;
  static constexpr int kMostPasses = 8;
  struct Pass {
    std::size_t lag = 0;
    double standing_out_m = 0;  // this tooth over that earlier one
    double teeth = 0;           // pitches between the two, in equal pitches
  };
  struct Tooth {
    double offset_rad = 0;  // behind tooth 0
    std::array<Pass, kMostPasses> passes;
  };
  struct Sum;
  struct Slice;
  Pair past_in_feed_frame(std::size_t lag, double angle_rad, Past& past) noexcept;
  void add_slice(const Slice& slice, const Tooth& tooth, Sum& sum) const noexcept;

  cutting::CuttingForce coefficient_;
  double helix_per_m_ = 0;  // lag of a slice per metre of height
  bool regeneration_ = true;
  int passes_ = 1;
  std::vector<Tooth> teeth_;
  std::vector<double> lags_rad_;
  double longest_lag_rad_ = 0;
  std::vector<Pair> past_now_;  // one a lag, read at most once a step
  std::vector<unsigned char> read_;

  Engaged engaged_;
  int slices_ = 1;
  double centre_rad_ = 0, half_rad_ = 0, edge_rad_ = 0, reach_rad_ = 0, slice_depth_m_ = 0, feed_cos_ = 1,
         feed_sin_ = 0;
  std::array<double, kMostSlices> slice_lag_{}, slice_cos_{}, slice_sin_{};
};

}  // namespace hushmill::rig
