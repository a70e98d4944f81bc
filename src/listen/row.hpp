// One row of analysis, as every part of the listener sees it: spectrum, background, room and comb of one hop.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <span>

#include "listen/comb.hpp"

namespace hushmill::listen {

/// Views into the listener's own buffers; valid during one hop.
struct Row {
  static constexpr float kSkirtRatio = 2;  ///< 3 dB
  double t_s = 0;            ///< stream time of the newest sample
  double row_s = 0;          ///< time between rows
  double frame_s = 0;        ///< length of the frame
  double bin_hz = 0;
  double noise_bandwidth_bins = 1.5;
  std::span<const float> power;       ///< middle window, a full-scale sine is 1
  std::span<const float> floor;       ///< local floor
  std::span<const float> background;  ///< largest of floor, history and room
  std::span<const float> room;        ///< mean power per bin with no cut; zeros while unknown
  bool room_known = false;
  double above_room = 0;              ///< power above the room, 50 Hz upward, a full-scale sine is 1
  Comb comb;

  std::size_t bin(double hz) const noexcept {
    const double k = std::nearbyint(hz / bin_hz);
    return std::min(power.size() - 1, static_cast<std::size_t>(std::max(0.0, k)));
  }
  /// Bin of the highest power within `within_hz` of `hz`.
  std::size_t highest_bin(double hz, double within_hz) const noexcept {
    const std::size_t from = bin(hz - within_hz);
    const std::size_t to = bin(hz + within_hz);
    std::size_t best = from;
    for (std::size_t k = from; k <= to; ++k)
      if (power[k] > power[best]) best = k;
    return best;
  }
  /// That highest bin is the skirt of a line that stands outside.
  bool on_skirt(std::size_t at) const noexcept {
    return at > 0 && at + 1 < power.size() && std::max(power[at - 1], power[at + 1]) > kSkirtRatio * power[at];
  }
  double highest_hz() const noexcept { return bin_hz * static_cast<double>(power.size() - 4); }
};

}  // namespace hushmill::listen
