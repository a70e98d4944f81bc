// A sound that ends at an edge: within a third of an octave it falls by 25 dB or more and stays down. Air and iron do not
// do that; speech links (4, 7 or 8 kHz) and lower sample rates do, and chatter above the edge would not be heard.
// Value: the edge in Hz. Judged on two seconds of sound and more, only where the edge hides what the engine listens to.
//
// A spectrum three times a second; medians over twelfths of an octave, so that single lines do not count.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "listen/input_frame.hpp"
#include "signal/spectrum.hpp"

namespace hushmill::listen {

class BandWatch {
 public:
  explicit BandWatch(double rate_hz);

  /// Samples of the past that it needs in a frame's `past_and_frame`.
  std::size_t needed_samples() const noexcept { return spectrum_.size_samples(); }
  /// True when it made a new spectrum of this frame; power() then holds it.
  bool process(const InputFrame& frame) noexcept;
  std::span<const float> power() const noexcept { return spectrum_.power(); }
  double bin_hz() const noexcept { return spectrum_.bin_hz(); }
  std::optional<MicrophoneFinding> finding() const noexcept;

 private:
  struct Cell {
    std::size_t from = 0, to = 0;  ///< bins
    double from_hz = 0;
    double mean_db = 0;
  };
  signal::Spectrum spectrum_;
  std::vector<Cell> cells_;
  std::vector<float> sorted_;
  int frames_ = 0;
  double count_ = 0;
  double first_s_ = 0, now_s_ = 0;
};

}  // namespace hushmill::listen
