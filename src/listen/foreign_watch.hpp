// Tones that start during the cut but do not belong to it: a pump, a beeper, a neighbour's machine.
//
// A line of the long window that is new, off the comb, and keeps its frequency for half a second without a chatter family
// is taken for foreign. It is shown and logged, never alarmed.
#pragma once

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "listen/comb.hpp"
#include "listen/findings.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

class ForeignWatch {
 public:
  /// `row_s`: time between long rows; `frame_s`: length of their frame.
  ForeignWatch(double row_s, double frame_s) : row_s_(row_s), frame_s_(frame_s) {}

  /// Lines of the next long row that are new against room and history. `of_chatter(hz)`: the line belongs to chatter or to
  /// what may become it. `tooth_power`: of the tooth lines. Returns true when a tone was added.
  bool process(std::span<const signal::Line> lines, const Comb& comb, double bin_hz, double now_s, double tooth_power,
               const std::function<bool(double)>& of_chatter);
  /// A cut ends: what was only suspected is dropped.
  void forget_candidates() noexcept { candidates_.clear(); }
  /// True when `hz` is a foreign tone that still sounds.
  bool sounding(double hz, double within_hz) const noexcept;
  const std::vector<ForeignTone>& tones() const noexcept { return tones_; }

 private:
  struct Candidate {
    double hz = 0;
    double start_s = 0;
    int rows = 0;
    int missing = 0;
    double power = 0;
    bool rich = false;  // with strong harmonics
  };
  struct Open {
    std::size_t index = 0;
    double last_heard_s = 0;
  };
  double row_s_;
  double frame_s_;
  std::vector<Candidate> candidates_;
  std::vector<ForeignTone> tones_;
  std::vector<Open> open_;
};

}  // namespace hushmill::listen
