// Where the tool was: its position at every earlier angle of the spindle, as far back as some revolutions.
//
// Positions are read between the steps by the cubic through four of them. Allocates in the constructor only. One
// thread.
#pragma once

#include <cstddef>
#include <vector>

#include "rig/tip.hpp"

namespace hushmill::rig {

class Past {
 public:
  /// Room for `steps` steps at least; `lags_rad` are the distances in spindle angle that will be asked for.
  Past(std::size_t steps, const std::vector<double>& lags_rad);

  /// The next step. The angle must never fall.
  void push(double angle_rad, Pair position_m) noexcept;
  /// Position when the spindle was the lag number `lag` behind `angle_rad`. The angle must not fall from call to call
  /// of one lag, and the answer must lie two steps or more behind the newest. Before the beginning the tool stood
  /// still.
  Pair at(std::size_t lag, double angle_rad) noexcept;

 private:
  struct Entry {
    double angle_rad = 0;
    double x = 0;
    double y = 0;
  };
  struct Reader {
    double lag_rad = 0;
    std::size_t index = 0;  // the newest entry whose angle is not beyond the one asked for
  };
  const Entry& entry(std::size_t index) const noexcept { return ring_[index & mask_]; }

  std::vector<Entry> ring_;
  std::size_t mask_ = 0;
  std::size_t pushed_ = 0;
  std::vector<Reader> readers_;
};

}  // namespace hushmill::rig
