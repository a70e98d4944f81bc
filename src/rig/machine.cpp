#include "rig/machine.hpp"

#include <algorithm>
#include <cmath>

#include "rig/path.hpp"

namespace hushmill::rig {
namespace {

using cutting::kPi;
using cutting::kTurn;

constexpr double kSlideSettlesS = 0.03;  // depth, width and feed follow the knobs
constexpr double kNoiseBandHz = 48000;   // force_noise is defined up to here
constexpr double kSameShare = 0.01;      // changes below this leave a cut steady
constexpr double kSameSpeedShare = 0.001;
constexpr double kChatterShare = 0.2;                        // energy out of step over energy in step
constexpr double kSwelling = 2.0;                            // vibration over that without regeneration
constexpr double kSlowestShare = (1.0 - 0.1) * (1.0 - 0.1);  // greatest speed error and droop that `check` lets pass

/// Steps that the longest look back may take at the slowest speed.
std::size_t steps_for(double angle_rad, double inner_rate_hz) {
  return static_cast<std::size_t>(std::ceil(angle_rad / kTurn * 60.0 / (kSlowestShare * kSlowestRpm) * inner_rate_hz)) +
         8;
}

bool differs(double a, double b, double share) { return std::abs(a - b) > share * std::max(std::abs(b), 1e-9); }

}  // namespace

Machine::SmoothTwin::SmoothTwin(const RigSettings& settings, double step_s, std::size_t track_steps)
    : tip(settings.model.structure, step_s), cut(settings.model, false), track(track_steps) {}

Machine::Machine(const RigSettings& settings, double inner_rate_hz)
    : settings_(settings),
      step_s_(1.0 / inner_rate_hz),
      wanted_(settings.start),
      now_(settings.start),
      spindle_(settings.spindle, settings.start.spindle_rpm),
      tip_(settings.model.structure, step_s_),
      cut_(settings.model, settings.regeneration),
      past_(steps_for(cut_.longest_lag_rad(), inner_rate_hz), cut_.lags_rad()),
      track_(steps_for(kTurn, 0.5 * inner_rate_hz)),
      random_(settings.seed),
      noise_scale_(settings.sound.force_noise * std::sqrt(0.5 * inner_rate_hz / kNoiseBandHz)) {
  if (settings.smooth_twin && settings.regeneration)
    twin_.emplace(settings, step_s_, steps_for(kTurn, 0.5 * inner_rate_hz));
  turn(settings.start);
  now_ = wanted_;
}

void Machine::turn(const RigControls& controls) noexcept {
  const auto take = [](double& into, double value, double least, double most) {
    if (std::isfinite(value)) into = std::clamp(value, least, most);
  };
  const double fastest = std::min(kFastestRpm, 60.0 / (step_s_ * kStepsPerTooth * settings_.model.cutter.flutes));
  take(wanted_.spindle_rpm, controls.spindle_rpm, kSlowestRpm, fastest);
  take(wanted_.depth_mm, controls.depth_mm, 0.0, 100.0);
  take(wanted_.radial_mm, controls.radial_mm, 0.0, settings_.model.cutter.diameter_mm);
  take(wanted_.feed_per_tooth_mm, controls.feed_per_tooth_mm, 0.0, 2.0);
  wanted_.in_cut = controls.in_cut;
}

void Machine::tick() noexcept {
  const double seconds = kStepsPerTick * step_s_;
  const double mean_torque = torque_sum_n_m_ / kStepsPerTick;
  torque_sum_n_m_ = 0;
  spindle_.step(wanted_.spindle_rpm, mean_torque, seconds);
  rpm_ = spindle_.rpm();
  angle_per_step_rad_ = rpm_ / 60.0 * kTurn * step_s_;

  const double follow = 1.0 - std::exp(-seconds / kSlideSettlesS);
  now_.depth_mm += (wanted_.depth_mm - now_.depth_mm) * follow;
  now_.radial_mm += (wanted_.radial_mm - now_.radial_mm) * follow;
  now_.feed_per_tooth_mm += (wanted_.feed_per_tooth_mm - now_.feed_per_tooth_mm) * follow;
  const double turned = angle_per_step_rad_ * kStepsPerTick / kTurn;
  in_cut_share_ = wanted_.in_cut ? std::min(1.0, in_cut_share_ + turned / settings_.entry_revolutions)
                                 : std::max(0.0, in_cut_share_ - turned / settings_.exit_revolutions);

  const double feed_mm_per_rev = now_.feed_per_tooth_mm * settings_.model.cutter.flutes;
  if (in_cut_share_ > 0) travelled_mm_ += feed_mm_per_rev * turned;
  const double diameter_mm = settings_.model.cutter.diameter_mm;
  const Place place = place_on_path(settings_.path, travelled_mm_, now_.radial_mm / diameter_mm, settings_.milling);
  arc_rad_ = place.arc.exit_rad - place.arc.entry_rad;
  depth_m_ = in_cut_share_ * now_.depth_mm * 1e-3;
  const double feed_m_per_rad = feed_mm_per_rev * 1e-3 / kTurn;
  travel_per_rad_m_ = {feed_m_per_rad * std::cos(place.feed_direction_rad),
                       feed_m_per_rad * std::sin(place.feed_direction_rad)};
  const Engaged engaged{.arc = place.arc,
                        .depth_m = depth_m_,
                        .feed_per_tooth_m = now_.feed_per_tooth_mm * 1e-3,
                        .feed_direction_rad = place.feed_direction_rad,
                        .angle_per_step_rad = angle_per_step_rad_,
                        .surface_speed_m_s = kPi * diameter_mm * 1e-3 * rpm_ / 60.0};
  cut_.engage(engaged);
  if (twin_) twin_->cut.engage(engaged);
  watch_steadiness(arc_rad_, depth_m_);
}

void Machine::watch_steadiness(double arc_rad, double depth_m) noexcept {
  if (!differs(arc_rad, steady_arc_rad_, kSameShare) && !differs(depth_m, steady_depth_m_, kSameShare) &&
      !differs(rpm_, steady_rpm_, kSameSpeedShare) && !differs(now_.feed_per_tooth_mm, steady_feed_mm_, kSameShare)) {
    return;
  }
  steady_arc_rad_ = arc_rad;
  steady_depth_m_ = depth_m;
  steady_rpm_ = rpm_;
  steady_feed_mm_ = now_.feed_per_tooth_mm;
  unsteady_at_rad_ = angle_rad_;
}

CutForce Machine::cut_step(Tip& tip, Cut& cut, Pair force_n, double roughness) noexcept {
  tip.begin(force_n);
  const Pair expected = tip.expected();
  const Pair without = tip.without_force();
  const Motion motion{.angle_rad = angle_rad_,
                      .expected_m = {expected.x + travel_m_.x, expected.y + travel_m_.y},
                      .without_force_m = {without.x + travel_m_.x, without.y + travel_m_.y},
                      .velocity_m_s = tip.expected_velocity(),
                      .gain_m_n = tip.gain_m_n()};
  const CutForce force = cut.force(motion, past_, roughness);
  tip.finish(force.on_tool_n);
  return force;
}

void Machine::step() noexcept {
  if (steps_to_tick_ == 0) {
    tick();
    steps_to_tick_ = kStepsPerTick;
  }
  --steps_to_tick_;
  angle_rad_ += angle_per_step_rad_;
  travel_m_.x += travel_per_rad_m_.x * angle_per_step_rad_;
  travel_m_.y += travel_per_rad_m_.y * angle_per_step_rad_;

  const double roughness = noise_scale_ > 0 ? noise_scale_ * random_.normal() : 0.0;
  force_ = cut_step(tip_, cut_, force_.on_tool_n, roughness);
  if (twin_) twin_->force_n = cut_step(twin_->tip, twin_->cut, twin_->force_n, roughness).on_tool_n;
  const Pair vibration = tip_.position_m();
  past_.push(angle_rad_, {vibration.x + travel_m_.x, vibration.y + travel_m_.y});

  torque_sum_n_m_ += force_.tangential_n * 0.5e-3 * settings_.model.cutter.diameter_mm;
  if (force_.lifted) lifted_at_rad_ = angle_rad_;
  track_this_step_ = !track_this_step_;
  if (!track_this_step_) return;
  track_.push(angle_rad_, vibration);
  if (twin_) twin_->track.push(angle_rad_, twin_->tip.position_m());
}

bool Machine::chatters(const RigTruth& truth) const noexcept {
  if (!settings_.regeneration || truth.depth_mm <= 0) return false;
  const double off = truth.chatter_rms * truth.chatter_rms;
  const double on = truth.synchronous_rms * truth.synchronous_rms;
  if (!twin_) return truth.steady && off > kChatterShare * on;
  const double smooth_off = truth.smooth_chatter_rms * truth.smooth_chatter_rms;
  const double smooth_on = truth.smooth_synchronous_rms * truth.smooth_synchronous_rms;
  if (off - smooth_off > kChatterShare * std::max(on, smooth_on + smooth_off)) return true;
  return truth.teeth_leave_cut && on + off > kSwelling * kSwelling * (smooth_on + smooth_off);
}

RigTruth Machine::truth() const noexcept {
  RigTruth truth{.spindle_rpm = rpm_,
                 .synchronous_rms = track_.synchronous_rms_m(),
                 .chatter_rms = track_.chatter_rms_m(),
                 .smooth_synchronous_rms = twin_ ? twin_->track.synchronous_rms_m() : 0.0,
                 .smooth_chatter_rms = twin_ ? twin_->track.chatter_rms_m() : 0.0,
                 .teeth_leave_cut = angle_rad_ - lifted_at_rad_ <= kTurn,
                 .steady = angle_rad_ - unsteady_at_rad_ >= 4.0 * kTurn,
                 .chatters = false,
                 .depth_mm = depth_m_ * 1e3,
                 .arc_deg = depth_m_ > 0 ? arc_rad_ * 180.0 / kPi : 0.0};
  truth.chatters = chatters(truth);
  return truth;
}

}  // namespace hushmill::rig
