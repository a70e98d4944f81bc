// Is the tool in the cut? Tooth lines that stand above floor and room say so.
//
// Begins when several tooth or rotation multiples stand clear in most of the last rows, ends when they are gone for a
// quarter second. `start_s` and `end_s` are corrected for the length of the frame.
#pragma once

#include <cstdint>

#include "listen/faint_teeth.hpp"
#include "listen/row.hpp"

namespace hushmill::listen {

class CutGate {
 public:
  /// Next row. `singing`: chatter is open, so weak tooth lines do not mean that the cut is over.
  void process(const Row& row, bool singing);

  /// What chatter and teeth make together was heard where the teeth alone were not: the tool is in the cut.
  void begin_unheard(const Row& row) noexcept;

  bool in_cut() const noexcept { return in_cut_; }
  double start_s() const noexcept { return start_s_; }
  double end_s() const noexcept { return end_s_; }
  /// Power of the tooth lines of this row, and the largest mean of it over the last second.
  double tooth_power() const noexcept { return tooth_power_; }
  double held_tooth_power() const noexcept { return held_tooth_power_; }
  /// Mean of it over the last second; 0 in the first second of a cut, when nothing is settled.
  double settled_tooth_power() const noexcept { return in_cut_s_ >= kSettledS ? mean_tooth_power_ : 0.0; }
  /// By how much the tooth lines stand above their mean of the last second, dB, never negative: the cut got deeper.
  double tooth_rise_db() const noexcept;
  /// True while the tooth lines and the sound as a whole fall away: the cut is probably ending.
  bool fading() const noexcept { return in_cut_ && fading_; }

 private:
  void begin(const Row& row) noexcept;
  int clear_rotation_lines(const Row& row) const noexcept;
  int clear_lines(const Row& row, double ratio, double tolerance, double& power) const noexcept;

  FaintTeeth faint_;
  bool began_faint_ = false;  ///< only the mean of many rows showed the teeth, or nothing did
  bool in_cut_ = false;
  std::uint32_t recent_ = 0;  ///< one bit a row, newest lowest: enough lines stood clear
  static constexpr double kSettledS = 1.0;
  double in_cut_s_ = 0;
  double silent_s_ = 0;
  double start_s_ = 0;
  double end_s_ = 0;
  double tooth_power_ = 0;
  double mean_tooth_power_ = 0;
  double held_tooth_power_ = 0;
  double mean_above_room_ = 0;
  bool fading_ = false;
};

}  // namespace hushmill::listen
