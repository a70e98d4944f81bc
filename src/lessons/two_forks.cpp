#include "lessons/two_forks.hpp"

#include <cmath>

#include "cutting/circle.hpp"

namespace hushmill::lessons {
namespace {

using cutting::kTurn;
constexpr double kHandDecay = 40;  // 1/s: a finger on a tine silences it in a tenth of a second

/// c by which equal forks exchange so often: sqrt(w² + c) − sqrt(w² − c) = d solved for c.
double coupling_of(const ForkSettings& s) {
  const double w2 = std::pow(kTurn * s.first_hz, 2), d2 = std::pow(kTurn * s.exchange_hz, 2);
  return std::sqrt(w2 * d2 - d2 * d2 / 4);
}

}  // namespace

ForkNotes fork_notes(const ForkSettings& settings) noexcept {
  const double a = std::pow(kTurn * settings.first_hz, 2), b = std::pow(kTurn * settings.second_hz, 2);
  const double c = coupling_of(settings), apart = (a - b) / 2, root = std::hypot(apart, c);
  ForkNotes notes;
  notes.lower_hz = std::sqrt((a + b) / 2 - root) / kTurn;
  notes.upper_hz = std::sqrt((a + b) / 2 + root) / kTurn;
  notes.exchange_hz = notes.upper_hz - notes.lower_hz;
  notes.most_answer = root > 0 ? c * c / (root * root) : 0;
  return notes;
}

TwoForks::TwoForks(const ForkSettings& settings, double sample_rate_hz) noexcept : step_s_(1 / sample_rate_hz) {
  turn(settings);
}

void TwoForks::turn(const ForkSettings& settings) noexcept {
  w1_ = kTurn * settings.first_hz;
  w2_ = kTurn * settings.second_hz;
  coupling_ = coupling_of(settings);
  decay_ = std::log(1000.0) / settings.ring_s;
}

void TwoForks::strike(bool first, bool second) noexcept {
  if (first) state_[1] += w1_;
  if (second) state_[3] += w2_;
}

TwoForks::State TwoForks::slope(const State& at) const noexcept {
  const double first_decay = decay_ + (held_ ? kHandDecay : 0);
  return {at[1], -w1_ * w1_ * at[0] - 2 * first_decay * at[1] + coupling_ * at[2], at[3],
          -w2_ * w2_ * at[2] - 2 * decay_ * at[3] + coupling_ * at[0]};
}

void TwoForks::step() noexcept {
  const auto along = [this](const State& by, double share) {
    State to = state_;
    for (std::size_t i = 0; i < to.size(); ++i) to[i] += share * step_s_ * by[i];
    return to;
  };
  const State a = slope(state_), b = slope(along(a, 0.5)), c = slope(along(b, 0.5)), d = slope(along(c, 1));
  for (std::size_t i = 0; i < state_.size(); ++i) state_[i] += step_s_ / 6 * (a[i] + 2 * b[i] + 2 * c[i] + d[i]);
}

double TwoForks::first_energy() const noexcept { return state_[0] * state_[0] + std::pow(state_[1] / w1_, 2); }
double TwoForks::second_energy() const noexcept { return state_[2] * state_[2] + std::pow(state_[3] / w2_, 2); }

}  // namespace hushmill::lessons
