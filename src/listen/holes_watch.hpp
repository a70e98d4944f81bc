// Holes in the spectrum of noise: what noise suppression leaves behind when it takes steady sound out bin by bin.
//
// The power of noise in the bins of one spectrum is distributed exponentially, so a quarter of the bins lies above ln 4 and a
// quarter below ln 4/3 of the mean: 6.8 dB apart (derived), whatever the noise. Holes that come and go tear them apart. A
// comb of lines does so, too, but stays where it is: adding two spectra, which brings noise to 4.5 dB (quartiles of the
// gamma distribution of shape 2, computed), leaves a comb as it was. From 3 to 9.5 kHz, in every second twelfth of an
// octave, the median of them, over the quietest two seconds and more, since a cut has lines enough to look torn; so something at
// least 6 dB louder must have been heard, too. Lossy files have such holes as well. Value: dB between the quarters.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "listen/input_frame.hpp"

namespace hushmill::listen {

class HolesWatch {
 public:
  HolesWatch(double bin_hz, std::size_t bins);

  /// The newest spectrum, three a second. `power`: a full-scale sine is 1.
  void process(std::span<const float> power, const InputFrame& frame) noexcept;
  std::optional<MicrophoneFinding> finding() const noexcept;

 private:
  struct Cell {
    std::size_t from, to;
  };
  struct Mean {
    double alone_db = 0, added_db = 0, count = 0;
    void add(double alone, double added) noexcept;
  };
  /// None where too little stands over the floor of the numbers.
  std::optional<double> spread_db(std::span<const float> power) noexcept;

  std::vector<Cell> cells_;
  std::vector<float> sorted_, before_, added_;
  std::vector<double> spreads_;
  bool has_before_ = false;
  std::array<Mean, 40> by_level_{};  ///< classes of 3 dB from −120 dBFS up
  double now_s_ = 0;
};

}  // namespace hushmill::listen
