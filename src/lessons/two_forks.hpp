// Two tuning forks on one board: each a damped resonator, the board passes a little of the swing from one to the other.
//
//   q1'' + 2s·q1' + w1²·q1 = c·q2        q2'' + 2s·q2' + w2²·q2 = c·q1
//
// stepped by the classical Runge-Kutta method at the sample rate (440 Hz at 48 kHz: a millionth of the phase a second).
// The formulas beside it are the eigenvalues of the same pair without damping, derived; the tests hold the one against
// the other. No allocation after construction. One thread.
#pragma once

#include <array>

namespace hushmill::lessons {

struct ForkSettings {
  double first_hz = 440;  ///< each fork while the other is held; A4 of ISO 16:1975
  double second_hz = 440;
  double exchange_hz =
      0.5;  ///< how often a second two equal forks pass the swing over and back: says how strong the board couples
  double ring_s = 16;  ///< until it has fallen by 60 dB
};

/// λ± = (w1² + w2²)/2 ± sqrt(((w1² − w2²)/2)² + c²): the two notes of the pair.
struct ForkNotes {
  double lower_hz = 0, upper_hz = 0;
  double exchange_hz = 0;  ///< upper less lower: how often a second the swing comes back, and the beat that is heard
  double most_answer = 0;  ///< c²/(c² + ((w1² − w2²)/2)²): share of the energy that the other fork gets
};
ForkNotes fork_notes(const ForkSettings& settings) noexcept;

class TwoForks {
 public:
  TwoForks(const ForkSettings& settings, double sample_rate_hz) noexcept;

  void turn(const ForkSettings& settings) noexcept;
  /// Swing 1 in the first, the second, or both.
  void strike(bool first, bool second) noexcept;
  /// A hand on the first fork, or off it.
  void hold_first(bool held) noexcept { held_ = held; }
  void step() noexcept;

  double first() const noexcept { return state_[0]; }
  double second() const noexcept { return state_[2]; }
  /// Energy of each, as that of a fork that swings by 1: (q² + (q'/w)²)/1.
  double first_energy() const noexcept;
  double second_energy() const noexcept;

 private:
  using State = std::array<double, 4>;  // q1, q1', q2, q2'
  State slope(const State& at) const noexcept;

  double step_s_;
  double w1_ = 0, w2_ = 0, coupling_ = 0, decay_ = 0;  // rad/s, rad²/s², 1/s
  bool held_ = false;
  State state_{};
};

}  // namespace hushmill::lessons
