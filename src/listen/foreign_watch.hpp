// Tones that start during the cut but do not belong to it: a pump, a beeper, a neighbour's machine.
//
// A tone is taken for foreign when it stands alone for half a second without growing into a family. It is shown and
// logged, never alarmed.
#pragma once

#include <cstddef>
#include <vector>

#include "listen/findings.hpp"
#include "listen/row.hpp"
#include "listen/tracker.hpp"

namespace hushmill::listen {

class ForeignWatch {
 public:
  /// `doubt_nats`: a track with more than this behind it may still become chatter. Returns true when a tone was added.
  bool process(std::span<const Track> tracks, double doubt_nats, const Row& row);
  void finish(double t_s) noexcept;
  /// True when `hz` is a foreign tone that still sounds.
  bool sounding(double hz, double within_hz) const noexcept;
  const std::vector<ForeignTone>& tones() const noexcept { return tones_; }

 private:
  struct Open {
    std::size_t index;
    double last_heard_s;
  };
  std::vector<ForeignTone> tones_;
  std::vector<Open> open_;
};

}  // namespace hushmill::listen
