// A gain that somebody else turns: the sound of a shop changes in one band or another, a gain changes in all at once.
//
//   `automatic_gain`     after a loud stretch the steady floor is lower than before it, and comes back slowly and alike in
//                        bass, treble and the whole. Value: dB that the gain rose. A room cannot do that: it fades from above.
//   `noise_suppression`  twice or more, the sound between loud stretches collapses into near silence (below −80 dBFS) and
//                        returns; or a sound that has come up suddenly fades in all bands over 0.4 to 4 s, as if it
//                        were learned and taken out. Value: times that it was seen.
// Needs loud stretches with something steady round them; in a cut that goes on to the end, neither can be seen. Both stay.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "listen/input_frame.hpp"

namespace hushmill::listen {

class GainWatch {
 public:
  void process(const InputFrame& frame) noexcept;
  std::optional<MicrophoneFinding> automatic_gain() const noexcept { return gain_; }
  std::optional<MicrophoneFinding> noise_suppression() const noexcept;

 private:
  static constexpr std::size_t kBands = 3;
  static constexpr std::size_t kPast = 6;  // tenths of a second
  using Levels = std::array<double, kBands>;

  void judge_tenth(const Levels& now, double end_s) noexcept;
  void follow_floor(const Levels& now, double end_s) noexcept;
  void follow_fading(const Levels& now, double end_s) noexcept;
  void follow_collapse(const Levels& now, double end_s) noexcept;
  void note_suppression(double since_s, double until_s) noexcept;

  std::array<double, kBands> sum_{};
  int frames_ = 0;
  std::array<Levels, kPast> past_{};  ///< newest last; exactly 0 stands for not heard yet
  int tenths_ = 0;

  Levels floor_{};
  int steady_ = 0;          ///< tenths for which the floor held
  bool loud_ = false;
  int loud_tenths_ = 0;
  bool after_ = false;
  int after_tenths_ = 0;
  Levels before_{};         ///< the floor before the loud stretch
  Levels lowest_{};         ///< just after it
  double lowest_s_ = 0;
  std::optional<MicrophoneFinding> gain_;

  bool fading_armed_ = false;
  int since_onset_ = 0;
  Levels top_{};
  double steepest_ = 0;
  double onset_s_ = 0;

  bool collapsed_ = false;
  double collapsed_s_ = 0;
  int times_ = 0;
  double first_s_ = 0, last_s_ = 0;
};

}  // namespace hushmill::listen
