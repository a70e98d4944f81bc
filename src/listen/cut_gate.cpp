#include "listen/cut_gate.hpp"

#include <algorithm>
#include <bit>

#include "signal/decibel.hpp"

namespace hushmill::listen {

namespace {
constexpr double kGateClearRatio = 8.0;   // 9 dB over floor and room
constexpr double kVeryClearRatio = 16.0;  // 12 dB, for rotation multiples: there are many of them
constexpr int kGateLeastLines = 2;
constexpr int kLeastLinesUnsure = 4;  // while the speed is only what was entered
constexpr double kGateHighestHz = 6000;
constexpr std::uint32_t kLastRows = 0xFF;
constexpr int kRowsToBegin = 5;  // of the last eight
constexpr double kGateGoneS = 0.25;
constexpr double kGateMeanS = 1.0;
constexpr double kFadingTeeth = 0.15;
constexpr double kFadingSound = 0.4;
}  // namespace

int CutGate::clear_lines(const Row& row, double ratio, double tolerance, double& power) const noexcept {
  int count = 0;
  power = 0;
  const double tooth_hz = row.comb.tooth_hz() * ratio;
  const double last_hz = std::min(kGateHighestHz, row.highest_hz());
  for (int k = 1; k * tooth_hz <= last_hz; ++k) {
    const double hz = k * tooth_hz;
    const double within = 0.75 * row.bin_hz + tolerance * hz;
    if (within > 0.25 * tooth_hz) break;
    const std::size_t bin = row.highest_bin(hz, within);
    if (row.on_skirt(bin)) continue;
    const double reference = static_cast<double>(std::max(row.floor[bin], 1.6F * row.room[bin])) + 1e-14;
    const double p = static_cast<double>(row.power[bin]);
    if (p > kGateClearRatio * reference) ++count;
    power += std::max(0.0, p - 2.0 * reference);
  }
  return count;
}

int CutGate::clear_rotation_lines(const Row& row) const noexcept {
  int count = 0;
  const double rotation_hz = row.comb.rotation_hz;
  const double last_hz = std::min(kGateHighestHz, row.highest_hz());
  for (int k = 1; k * rotation_hz <= last_hz; ++k) {
    if (k % row.comb.flutes == 0) continue;
    const double hz = k * rotation_hz;
    const double within = 0.75 * row.bin_hz + 2.0 * row.comb.relative_uncertainty * hz;
    if (within > 0.25 * rotation_hz) break;
    const std::size_t bin = row.highest_bin(hz, within);
    if (row.on_skirt(bin)) continue;
    const double reference = static_cast<double>(std::max(row.floor[bin], 1.6F * row.room[bin])) + 1e-14;
    if (static_cast<double>(row.power[bin]) > kVeryClearRatio * reference) ++count;
  }
  return count;
}

double CutGate::tooth_rise_db() const noexcept {
  return mean_tooth_power_ > 0 ? std::max(0.0, signal::power_db(tooth_power_ / mean_tooth_power_)) : 0.0;
}

void CutGate::begin(const Row& row) noexcept {
  in_cut_ = true;
  silent_s_ = 0;
  in_cut_s_ = 0;
  start_s_ = std::max(0.0, row.t_s - 8 * row.row_s - 0.4 * row.frame_s);
  mean_tooth_power_ = tooth_power_;
  held_tooth_power_ = tooth_power_;
  mean_above_room_ = row.above_room;
}

void CutGate::begin_unheard(const Row& row) noexcept {
  begin(row);
  began_faint_ = true;
}

void CutGate::process(const Row& row, bool singing) {
  const bool faint = faint_.process(row, !in_cut_ || began_faint_);
  int lines = 0;
  bool enough = false;
  if (row.comb.measured) {
    lines = clear_lines(row, 1.0, 2.0 * row.comb.relative_uncertainty, tooth_power_) + clear_rotation_lines(row);
    enough = lines >= kGateLeastLines;
  } else {
    // The speed may be 2 % off: the lines must agree on one ratio. Few multiples fit below 6 kHz at high speed.
    const int fits = static_cast<int>(kGateHighestHz / row.comb.tooth_hz());
    const int least = fits < 5 ? 2 : fits < 9 ? 3 : kLeastLinesUnsure;
    double best_power = 0;
    for (int step = -10; step <= 10; ++step) {
      double power = 0;
      const int n = clear_lines(row, 1.0 + 0.0022 * step, 0.0013, power);
      if (n > lines || (n == lines && power > best_power)) {
        lines = n;
        best_power = power;
      }
    }
    tooth_power_ = best_power;
    enough = lines >= least;
  }
  enough = enough || faint;

  recent_ = (recent_ << 1U) | (enough ? 1U : 0U);
  const double keep = row.row_s / kGateMeanS;
  if (!in_cut_) {
    if (std::popcount(recent_ & kLastRows) >= kRowsToBegin) {
      begin(row);
      began_faint_ = lines < kGateLeastLines;
    }
    return;
  }
  in_cut_s_ += row.row_s;
  // Chatter, too, makes the tooth lines fall, but not the sound as a whole.
  const double above_part = row.above_room / std::max(mean_above_room_, 1e-20);
  mean_above_room_ += keep * (row.above_room - mean_above_room_);
  fading_ = tooth_power_ < kFadingTeeth * mean_tooth_power_ && above_part < kFadingSound;
  mean_tooth_power_ += keep * (tooth_power_ - mean_tooth_power_);
  held_tooth_power_ = std::max(held_tooth_power_ * (1.0 - keep), tooth_power_);
  const bool gone = !singing && ((lines < 2 && !(faint && began_faint_)) || tooth_power_ < 0.004 * held_tooth_power_) &&
                    above_part < kFadingSound;
  silent_s_ = gone ? silent_s_ + row.row_s : 0.0;
  if (silent_s_ >= kGateGoneS) {
    in_cut_ = false;
    recent_ = 0;
    faint_.forget();
    end_s_ = std::max(start_s_, row.t_s - kGateGoneS - 0.5 * row.frame_s);
    held_tooth_power_ = 0;
  }
}

}  // namespace hushmill::listen
