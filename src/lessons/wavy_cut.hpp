// One tooth after another along the same wall: a tool tip that swings in one direction and cuts the wave that the tooth
// before left.
//
//   m·x'' + c·x' + k·x = b·(K·h·g + noise),   h = what of the wall stands outside the tip's path, never less than
//   nothing
//
// x counts away from the wall. The wall left by a tooth is the deepest of its own path and what earlier ones left, so a
// tooth that swings out of the cut leaves its share to the next: that is what bounds chatter. g is the push of a tooth,
// which comes and goes once a tooth. With g = 1 this is the regenerative model of J. Tlusty, and its limit has a
// formula. The tip is stepped exactly for a force that is held within a step. Allocates in the constructor only. One
// thread.
#pragma once

#include <cstdint>

#include "cutting/mode.hpp"
#include "rig/past.hpp"
#include "rig/random.hpp"

namespace hushmill::lessons {

struct WavyCutSettings {
  cutting::Mode tip{900, 0.03, 8e6};  ///< invented
  double resistance_n_mm2 = 300;      ///< K, across the wall; invented
  double feed_um = 60;                ///< of a tooth into the wall
  double depth_mm = 1.2;
  double tooth_hz = 300;  ///< teeth a second
  double push = 0.3;      ///< how far g goes down from 1; 0: an even push
  double noise = 0.01;    ///< of the force, over its mean
  std::uint64_t seed = 1;
};

/// Depth limit at that rate of teeth and the frequency there, for g = 1: the smallest b > 0 with
/// 1 + K·b·(1 − exp(−iwT))·G(iw) = 0 at some w (J. Tlusty, M. Polacek 1963, from memory; the search is ours).
struct WavyLimit {
  double depth_mm = 0, chatter_hz = 0;
};
WavyLimit wavy_limit(const WavyCutSettings& settings) noexcept;

class WavyCut {
 public:
  WavyCut(const WavyCutSettings& settings, double step_rate_hz);

  void step() noexcept;
  /// From the next step on; the tip goes on swinging.
  void set_tooth_hz(double tooth_hz) noexcept { settings_.tooth_hz = tooth_hz; }
  void set_depth_mm(double depth_mm) noexcept { settings_.depth_mm = depth_mm; }
  /// The tool goes into the wall, or out of it, within eight teeth.
  void set_in_cut(bool in_cut) noexcept { in_cut_ = in_cut; }
  /// A knock: so much swing more.
  void knock(double swing_um) noexcept;

  const WavyCutSettings& settings() const noexcept { return settings_; }
  /// 0: out of the cut, 1: wholly in it.
  double engaged() const noexcept { return share_; }
  double teeth() const noexcept { return teeth_; }  ///< that have passed
  double tip_um() const noexcept { return 1e6 * x_; }
  /// What the tooth before left here, over this one's even path.
  double left_um() const noexcept { return 1e6 * left_; }
  double chip_um() const noexcept { return share_ > 0 ? 1e6 * chip_ : 0; }
  double force_n() const noexcept { return force_; }
  double acceleration_m_s2() const noexcept { return acceleration_; }
  /// The wall as this tooth left it where it is.
  double wall_um() const noexcept { return 1e6 * (left_ < x_ ? left_ : x_); }

 private:
  WavyCutSettings settings_;
  double step_s_;
  double keep_qq_, keep_qv_, keep_vq_, keep_vv_, give_q_, give_v_;  // one step of the free tip, and of a held force
  rig::Past wall_;
  rig::Random random_;
  double x_ = 0, v_ = 0, teeth_ = 0, share_ = 0, left_ = 0, chip_ = 0, force_ = 0, acceleration_ = 0;
  bool in_cut_ = false;
};

}  // namespace hushmill::lessons
