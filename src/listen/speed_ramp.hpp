// Follows the comb through a ramp of the spindle speed that is too quick for the long window: the override turned in
// the cut.
//
// Remembers which rotation multiples are strong (the teeth's and runout's) and looks row by row whether they have left
// their places together, all by the same share and about as loud as before. A chatter family also brings new lines near
// the teeth, but each order by another share. Delay: two rows. Allocates nothing.
#pragma once

#include <array>
#include <optional>

#include "listen/row.hpp"

namespace hushmill::listen {

class SpeedRamp {
 public:
  /// Next row, heard with a measured comb; `singing`: chatter is open. The factor by which the comb has moved, when it
  /// has.
  std::optional<double> process(const Row& row, bool singing) noexcept;
  /// The strong lines have left their places, all at once, and are not found again yet: what now stands beside the comb
  /// is no family of it.
  bool lost() const noexcept { return lost_s_ > 0; }
  /// Another comb from here on.
  void reset() noexcept;

 private:
  static constexpr std::size_t kMostOrders = 64;
  struct Fit {
    int clear = 0;
    double nats = 0;
  };
  Fit fit(const Row& row, double factor, std::size_t orders) const noexcept;
  void remember(const Row& row, std::size_t orders) noexcept;
  void watch_for_loss(const Row& row, std::size_t orders) noexcept;

  std::array<float, kMostOrders + 1> presence_{};  // of each rotation multiple in the last rows, 0 to 1
  std::array<float, kMostOrders + 1> power_{};     // and its power then
  double moving_s_ = 0;                            // until the comb counts as still again
  double lost_s_ = 0;                              // until the lines must have been found again
  int direction_ = 0;                              // of the move seen in the last row
};

}  // namespace hushmill::listen
