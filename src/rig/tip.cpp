#include "rig/tip.hpp"

#include <cmath>

namespace hushmill::rig {

Tip::Tip(const cutting::Structure& structure, double step_s) : step_s_(step_s) {
  const auto add = [&](const std::vector<cutting::Mode>& modes, bool along_y, bool of_part) {
    for (const cutting::Mode& mode : modes) {
      Part part{};
      part.along_y = along_y;
      part.of_part = of_part;
      part.k = mode.stiffness_n_m;
      part.m = mode.mass_kg();
      const double c = mode.damping_n_s_m();
      part.inverse_mass = 1.0 / part.m;
      part.c_over_m = c / part.m;
      part.k_over_m = part.k / part.m;

      // Free vibration over one step.
      const double decay = mode.damping_ratio * mode.omega();
      const double damped = mode.omega() * std::sqrt(1.0 - mode.damping_ratio * mode.damping_ratio);
      const double shrink = std::exp(-decay * step_s);
      const double cosine = shrink * std::cos(damped * step_s);
      const double sine = shrink * std::sin(damped * step_s);
      const double qq = cosine + decay / damped * sine;
      const double qv = sine / damped;
      const double vq = -mode.omega() * mode.omega() / damped * sine;
      const double vv = cosine - decay / damped * sine;

      // Under a force F0 + s·t the motion q = F0/k − c·s/k² + s·t/k, v = s/k satisfies m·q'' + c·q' + k·q = F; the rest
      // is free.
      const double rate = 1.0 / (part.k * step_s);
      const double start_now = 1.0 / part.k + c / part.k * rate;  // of that motion at t = 0, per newton now
      const double start_then = -c / part.k * rate;               // and per newton at the end
      const double speed_now = -rate;
      const double speed_then = rate;
      part.keep_q[0] = qq;
      part.keep_q[1] = qv;
      part.keep_q[2] = start_now - 1.0 / part.k - qq * start_now - qv * speed_now;
      part.keep_v[0] = vq;
      part.keep_v[1] = vv;
      part.keep_v[2] = speed_now - vq * start_now - vv * speed_now;
      part.then_q = start_then + 1.0 / part.k - qq * start_then - qv * speed_then;
      part.then_v = speed_then - vq * start_then - vv * speed_then;
      parts_.push_back(part);
      (along_y ? gain_.y : gain_.x) += part.then_q;
      (along_y ? gain_velocity_.y : gain_velocity_.x) += part.then_v;
    }
  };
  add(structure.tool_x, false, false);
  add(structure.tool_y, true, false);
  add(structure.part_x, false, true);
  add(structure.part_y, true, true);
}

void Tip::begin(Pair force_now_n) noexcept {
  force_now_ = force_now_n;
  predicted_ = {};
  predicted_velocity_ = {};
  for (Part& part : parts_) {
    const double force = part.along_y ? force_now_n.y : force_now_n.x;
    part.next_q = part.keep_q[0] * part.q + part.keep_q[1] * part.v + part.keep_q[2] * force;
    part.next_v = part.keep_v[0] * part.q + part.keep_v[1] * part.v + part.keep_v[2] * force;
    (part.along_y ? predicted_.y : predicted_.x) += part.next_q;
    (part.along_y ? predicted_velocity_.y : predicted_velocity_.x) += part.next_v;
  }
}

Pair Tip::expected() const noexcept {
  return {predicted_.x + gain_.x * force_now_.x, predicted_.y + gain_.y * force_now_.y};
}

Pair Tip::expected_velocity() const noexcept {
  return {predicted_velocity_.x + gain_velocity_.x * force_now_.x,
          predicted_velocity_.y + gain_velocity_.y * force_now_.y};
}

void Tip::finish(Pair force_then_n) noexcept {
  tool_acceleration_ = {};
  part_acceleration_ = {};
  for (Part& part : parts_) {
    const double force = part.along_y ? force_then_n.y : force_then_n.x;
    part.q = part.next_q + part.then_q * force;
    part.v = part.next_v + part.then_v * force;
    const double acceleration = force * part.inverse_mass - part.c_over_m * part.v - part.k_over_m * part.q;
    Pair& whose = part.of_part ? part_acceleration_ : tool_acceleration_;
    (part.along_y ? whose.y : whose.x) += acceleration;
  }
}

Pair Tip::position_m() const noexcept {
  Pair sum;
  for (const Part& part : parts_) (part.along_y ? sum.y : sum.x) += part.q;
  return sum;
}

double Tip::energy_j() const noexcept {
  double sum = 0;
  for (const Part& part : parts_) sum += 0.5 * (part.k * part.q * part.q + part.m * part.v * part.v);
  return sum;
}

void Tip::nudge(Pair by_m) noexcept {
  double on_x = 0;
  double on_y = 0;
  for (const Part& part : parts_) (part.along_y ? on_y : on_x) += 1.0;
  for (Part& part : parts_) part.q += part.along_y ? by_m.y / on_y : by_m.x / on_x;
}

}  // namespace hushmill::rig
