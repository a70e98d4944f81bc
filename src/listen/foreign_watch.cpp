#include "listen/foreign_watch.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr double kLeastS = 0.5;
constexpr double kGoneS = 0.4;
constexpr std::size_t kMostTones = 256;
constexpr float kStillThere = 5.0F;  // power over the local floor
constexpr double kSteadyDbS = 25;    // a tone that still grows faster than this is not judged yet
}  // namespace

bool ForeignWatch::process(std::span<const Track> tracks, double doubt_nats, const Row& row) {
  for (auto& open : open_) {
    auto& tone = tones_[open.index];
    const std::size_t bin = row.highest_bin(tone.hz, 1.5 * row.bin_hz);
    if (row.power[bin] > kStillThere * row.floor[bin]) open.last_heard_s = row.t_s;
    tone.end_s = std::max(tone.start_s, open.last_heard_s);
  }
  std::erase_if(open_, [&](const Open& open) { return row.t_s - open.last_heard_s > kGoneS; });

  bool added = false;
  for (const auto& track : tracks) {
    if (track.peak_nats >= doubt_nats || track.period_doubling || track.missing_rows > 0) continue;
    if (row.t_s - track.start_s < kLeastS || track.rows * row.row_s < 0.8 * kLeastS) continue;
    if (track.growth_db_s > kSteadyDbS || tones_.size() >= kMostTones) continue;
    if (sounding(track.strongest_hz, 2 * row.bin_hz)) continue;
    tones_.push_back({track.strongest_hz, std::max(0.0, track.start_s - 0.5 * row.frame_s), row.t_s});
    open_.push_back({tones_.size() - 1, row.t_s});
    added = true;
  }
  return added;
}

void ForeignWatch::finish(double t_s) noexcept {
  for (const auto& open : open_) tones_[open.index].end_s = std::min(t_s, std::max(open.last_heard_s, tones_[open.index].start_s));
}

bool ForeignWatch::sounding(double hz, double within_hz) const noexcept {
  return std::any_of(open_.begin(), open_.end(),
                     [&](const Open& open) { return std::abs(tones_[open.index].hz - hz) < within_hz; });
}

}  // namespace hushmill::listen
