// What of the vibration is in step with the rotation and what is not, from the vibration itself and no sound.
//
// At each angle the displacements of four revolutions are compared: their mean repeats every revolution, what they
// differ by does not. Summed over one revolution that is the energy on and off the multiples of the rotation over the
// last four. The mean deflection counts as neither. Allocates in the constructor only. One thread.
#pragma once

#include <array>
#include <cstddef>

#include "rig/past.hpp"
#include "rig/tip.hpp"

namespace hushmill::rig {

class CleanTrack {
 public:
  /// `steps_per_revolution` at the slowest speed.
  explicit CleanTrack(std::size_t steps_per_revolution);

  void push(double angle_rad, Pair vibration_m) noexcept;
  double synchronous_rms_m() const noexcept;
  double chatter_rms_m() const noexcept;

 private:
  static constexpr std::size_t kBins = 64;
  struct Bin {
    double count = 0, off = 0, on = 0, mean_x = 0, mean_y = 0;
  };
  Bin total() const noexcept;

  Past past_;
  std::array<Bin, kBins> bins_{};
  Bin filling_{};
  long long filling_number_ = 0;
};

}  // namespace hushmill::rig
