// Two forks: strike one, and the other answers if it is tuned to the same note; a little off, and it stays silent.
#pragma once

#include <cstdint>

#include "lessons/controls.hpp"
#include "lessons/lesson.hpp"
#include "lessons/two_forks.hpp"
#include "lessons/two_tones.hpp"
#include "rig/random.hpp"

namespace hushmill::lessons {

class Forks : public Lesson {
 public:
  enum Turn : std::size_t { second_hz, exchange_hz, ring_s };
  enum Deed : std::size_t { strike_first, strike_both, hand_on_first };

  explicit Forks(std::uint64_t seed);
  void process(std::span<float> sound) override;
  bool set(std::size_t control, double value) override;
  bool act(std::size_t deed) override;
  Scene scene() const override;
  bool can_hear() const noexcept override { return true; }
  void hear(std::span<const float> sound) override;

 private:
  ForkSettings settings() const noexcept;
  void strike(bool second_too);
  void keep_swing();
  void keep_loudness(double sample);
  void look_at_tasks();

  Controls controls_;
  TwoForks forks_;
  TwoTones tones_;
  rig::Random noise_;
  std::uint64_t samples_ = 0, hand_until_ = 0;
  std::optional<std::uint64_t> struck_at_;       // the first alone, nothing touched since
  double answer_ = 0;                            // the most of the energy that the second had since
  double square_ = 0;                            // of the sound, in the present piece
  double first_energy_ = 0, second_energy_ = 0;  // sums over the piece: within one wave a coupled pair's wobble
  int in_piece_ = 0;
  bool microphone_ = false, both_struck_ = false;
  std::vector<float> first_swing_, second_swing_, loudness_;
  bool answered_ = false, stayed_silent_ = false, beats_ = false;
  double answered_hz_ = 0, answered_share_ = 0, silent_hz_ = 0, silent_share_ = 0, beat_hz_ = 0;
};

}  // namespace hushmill::lessons
