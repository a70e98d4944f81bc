// Do tooth lines stand in the mean of many rows, though none of them shows in one row?
//
// Over half a second noise evens out and lines do not: multiples 5 dB over the floor are then as plain as 9 dB in one row. They must
// be many of those that fit, on one ratio to the entered speed, and more than stand midway between them, where no tooth can be: music
// and speech have lines at both.
#pragma once

#include <vector>

#include "listen/row.hpp"

namespace hushmill::listen {

class FaintTeeth {
 public:
  /// Next row; true while the mean shows teeth. Not `asked`, it is only taken into the mean.
  bool process(const Row& row, bool asked = true);
  /// The cut is over: its lines do not count for the next.
  void forget() noexcept { heard_s_ = 0; }

 private:
  int lines(const Row& row, double ratio, double tolerance, double shift) const noexcept;

  std::vector<float> mean_;
  double heard_s_ = 0;
};

}  // namespace hushmill::listen
