// A short cut by a general-purpose integrator (Boost.odeint, Dormand-Prince with step control) beside the rig's own.
#pragma once

#include <algorithm>
#include <array>
#include <boost/numeric/odeint.hpp>
#include <cmath>
#include <vector>

#include "benchmark_cut.hpp"
#include "rig/cut.hpp"

namespace hushmill::test::second_opinion {

using cutting::kTurn;
inline constexpr double kFeedM = 0.1e-3;
inline constexpr double kDepthM = 0.5e-3;
inline constexpr double kRpm = 5200;
inline constexpr int kTeeth = 8;

/// Displacement along x of the one-mode benchmark in a full slot from rest, at equal distances of time, by the rig's
/// parts.
inline std::vector<double> by_the_rig(const cutting::CutModel& model, double step_s, int steps_per_sample) {
  rig::Tip tip(model.structure, step_s);
  rig::Cut cut(model, true);
  const double angle_per_step = kRpm / 60 * kTurn * step_s;
  rig::Past past(static_cast<std::size_t>(cut.longest_lag_rad() / angle_per_step) + 10, cut.lags_rad());
  cut.engage({.arc = {0, cutting::kPi},
              .depth_m = kDepthM,
              .feed_per_tooth_m = kFeedM,
              .feed_direction_rad = 0,
              .angle_per_step_rad = angle_per_step,
              .surface_speed_m_s = 1});
  std::vector<double> track{0};
  rig::Pair force{};
  const double end_s = kTeeth * 60 / (kRpm * 2);
  const double feed_m_s = kFeedM * 2 * kRpm / 60;
  past.push(0, {0, 0});
  for (int i = 1; i * step_s <= end_s; ++i) {
    const double travel = feed_m_s * i * step_s;
    tip.begin(force);
    const rig::Motion motion{.angle_rad = i * angle_per_step,
                             .expected_m = {tip.expected().x + travel, 0},
                             .without_force_m = {tip.without_force().x + travel, 0},
                             .velocity_m_s = {},
                             .gain_m_n = tip.gain_m_n()};
    force = cut.force(motion, past, 0).on_tool_n;
    tip.finish(force);
    past.push(motion.angle_rad, {tip.position_m().x + travel, 0});
    if (i % steps_per_sample == 0) track.push_back(tip.position_m().x);
  }
  return track;
}

/// The same by the method of steps: the delayed positions come from what was integrated before.
inline std::vector<double> by_odeint(const cutting::CutModel& model, double sample_s, std::size_t samples) {
  using State = std::array<double, 2>;
  const cutting::Mode mode = model.structure.tool_x.front();
  const double tooth_s = 60 / (kRpm * 2);
  const double feed_m_s = kFeedM * 2 * kRpm / 60;
  constexpr int kFine = 8;  // stored points a sample
  std::vector<double> stored{0};
  const auto place_at = [&](double t_s) {  // of the tool over the material
    if (t_s <= 0) return 0.0;
    const double at = t_s / sample_s * kFine;
    const auto index = static_cast<std::size_t>(at);
    if (index + 1 >= stored.size()) return stored.back() + feed_m_s * t_s;
    const double share = at - static_cast<double>(index);
    return stored[index] + share * (stored[index + 1] - stored[index]) + feed_m_s * t_s;
  };
  const auto motion = [&](const State& state, State& rate, double t_s) {
    double force = 0;
    for (int tooth = 0; tooth < 2; ++tooth) {
      const double angle = std::fmod(kRpm / 60 * kTurn * t_s + tooth * cutting::kPi, kTurn);
      if (angle > cutting::kPi) continue;
      const double now = state[0] + feed_m_s * t_s;
      double chip = 1;
      for (int pass = 1; pass <= 3; ++pass)
        chip = std::min(chip, (now - place_at(t_s - pass * tooth_s)) * std::sin(angle));
      if (chip <= 0) continue;
      force -= kDepthM * chip * (600e6 * std::cos(angle) + 200e6 * std::sin(angle));
    }
    rate = {state[1], (force - mode.damping_n_s_m() * state[1] - mode.stiffness_n_m * state[0]) / mode.mass_kg()};
  };
  std::vector<double> track{0};
  State state{0, 0};
  const auto stepper =
      boost::numeric::odeint::make_controlled<boost::numeric::odeint::runge_kutta_dopri5<State>>(1e-13, 1e-10);
  for (std::size_t i = 1; i < samples; ++i) {
    for (int fine = 0; fine < kFine; ++fine) {
      const double from_s = (static_cast<double>(i - 1) + static_cast<double>(fine) / kFine) * sample_s;
      boost::numeric::odeint::integrate_adaptive(stepper, motion, state, from_s, from_s + sample_s / kFine,
                                                 sample_s / kFine);
      stored.push_back(state[0]);
    }
    track.push_back(state[0]);
  }
  return track;
}

struct Difference {
  double largest_m = 0;  ///< displacement
  double worst_m = 0;    ///< between the two
};

/// Eight teeth of the one-mode benchmark from rest, both ways.
inline Difference difference() {
  const cutting::CutModel model = benchmark_model();
  const double step_s = 1.0 / 96000;
  constexpr int kStepsPerSample = 8;
  const std::vector<double> own = by_the_rig(model, step_s, kStepsPerSample);
  const std::vector<double> other = by_odeint(model, step_s * kStepsPerSample, own.size());
  Difference found;
  for (std::size_t i = 0; i < own.size(); ++i) {
    found.largest_m = std::max(found.largest_m, std::abs(other[i]));
    found.worst_m = std::max(found.worst_m, std::abs(own[i] - other[i]));
  }
  return found;
}

}  // namespace hushmill::test::second_opinion
