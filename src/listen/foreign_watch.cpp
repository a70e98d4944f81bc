#include "listen/foreign_watch.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr double kLeastS = 0.5;
constexpr double kForeignGoneS = 0.5;
constexpr int kMostMissing = 1;
constexpr double kForeignClearRatio = 16;  // 12 dB over the background
constexpr double kStillThere = 4;          // an accepted tone may sink to 6 dB over it
constexpr double kRich = 0.06;             // a second or third harmonic within 12 dB: a voice, a pump, a horn
constexpr double kAsLoud = 0.5;            // of the power of the teeth
constexpr std::size_t kMostTones = 256;
}  // namespace

bool ForeignWatch::process(std::span<const signal::Line> lines, const Comb& comb, double bin_hz, double now_s,
                           double tooth_power, const std::function<bool(double)>& of_chatter) {
  for (auto& candidate : candidates_) ++candidate.missing;
  for (const auto& line : lines) {
    const auto known = std::find_if(open_.begin(), open_.end(), [&](const Open& open) {
      return std::abs(tones_[open.index].hz - line.hz) < 1.5 * bin_hz;
    });
    if (known != open_.end()) {
      if (line.over > kStillThere) {
        known->last_heard_s = now_s;
        tones_[known->index].end_s = now_s;
      }
      continue;
    }
    if (line.over < kForeignClearRatio || comb.on_tooth(line.hz, bin_hz) || comb.on_rotation(line.hz, bin_hz) ||
        of_chatter(line.hz))
      continue;
    const auto candidate = std::find_if(candidates_.begin(), candidates_.end(), [&](const Candidate& c) {
      return c.missing > 0 && std::abs(c.hz - line.hz) < 0.8 * bin_hz;
    });
    if (candidate == candidates_.end()) {
      candidates_.push_back({line.hz, now_s, 1, 0, line.power, false});
      continue;
    }
    candidate->power = line.power;
    for (const int order : {2, 3})
      candidate->rich |= std::any_of(lines.begin(), lines.end(), [&](const signal::Line& other) {
        return std::abs(other.hz - order * line.hz) < order * 0.5 * bin_hz && other.power > kRich * line.power;
      });
    candidate->missing = 0;
    ++candidate->rows;
    candidate->hz += 0.3 * (line.hz - candidate->hz);
  }
  bool added = false;
  for (auto& candidate : candidates_) {
    if (candidate.missing > 0 || candidate.rows * row_s_ < kLeastS || tones_.size() >= kMostTones) continue;
    if (of_chatter(candidate.hz)) continue;
    open_.push_back({tones_.size(), now_s});
    tones_.push_back({candidate.hz, std::max(0.0, candidate.start_s - 0.5 * frame_s_), now_s,
                      !candidate.rich && candidate.power > kAsLoud * tooth_power});
    candidate.missing = kMostMissing + 1;
    added = true;
  }
  std::erase_if(candidates_, [](const Candidate& c) { return c.missing > kMostMissing; });
  std::erase_if(open_, [&](const Open& open) { return now_s - open.last_heard_s > kForeignGoneS; });
  return added;
}

bool ForeignWatch::sounding(double hz, double within_hz) const noexcept {
  return std::any_of(open_.begin(), open_.end(),
                     [&](const Open& open) { return std::abs(tones_[open.index].hz - hz) < within_hz; });
}

}  // namespace hushmill::listen
