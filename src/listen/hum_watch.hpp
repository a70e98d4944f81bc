// Mains hum that wiring picks up: the odd multiples of 50 or 60 Hz stand clear in the sound, second after second, and
// hold a tenth or more of the loudest second's power. Value: level of the hum, dBFS.
//
// Transformers and lamps hum in the air at even multiples; that is the room's and no fault. Multiples of the spindle's
// rotation are left out, so at 3000 or 3600 rev/min hum cannot be told. Judged on the last three seconds; goes when the
// sound becomes ten times as strong.
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "listen/input_frame.hpp"
#include "signal/spectrum.hpp"

namespace hushmill::listen {

class HumWatch {
 public:
  /// `bass_rate_hz`: of the frames' bass, about 2 kHz.
  explicit HumWatch(double bass_rate_hz);

  /// Rotation frequency of the spindle; 0: it stands still.
  void expect_rotation(double rotation_hz) noexcept { rotation_hz_ = rotation_hz; }
  void process(const InputFrame& frame) noexcept;
  std::optional<MicrophoneFinding> finding() const noexcept;

 private:
  static constexpr std::size_t kMultiples = 9;
  static constexpr std::size_t kSeconds = 3;
  struct Family {
    double mains_hz = 50;
    std::array<std::array<double, kMultiples>, kSeconds> power{};  ///< 0 where the line does not stand clear
    double hum = 0;  ///< power of the lines that stood clear in every second
    double since_s = 0;
  };

  void judge_second(double end_s) noexcept;
  double clear_line_power(double hz) const noexcept;
  bool on_rotation(double hz) const noexcept;

  double rotation_hz_ = 0;
  std::vector<float> second_;
  std::size_t filled_ = 0;
  signal::Spectrum spectrum_;
  double power_sum_ = 0;
  std::size_t frames_ = 0;
  double loudest_ = 0;  ///< power of the loudest second, a full-scale sine is 1
  std::size_t seconds_ = 0;
  double end_s_ = 0;
  std::array<Family, 2> families_{Family{.mains_hz = 50}, Family{.mains_hz = 60}};
};

}  // namespace hushmill::listen
