// Follows candidate families through time and adds up what speaks for each: a one-sided cumulative sum per track.
//
// Per row a track gains the family's votes, dominance over the teeth and growth, less a constant; rows overlap, so each
// counts by the share of the frame that is new. The sum never falls below zero (Page's test). Above `alarm_nats` a
// track is chatter.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "listen/family.hpp"

namespace hushmill::listen {

struct TrackerSettings {
  double alarm_nats = 3.6;
  double doubt_nats = 1.6;  ///< from here on it is "building"
  double toll_nats = 1.6;   ///< per frame, what a row must bring to speak for chatter
  double most_nats = 8.0;
  double lost_after_rows = 8;
};

struct Track {
  double offset_hz = 0;
  double strongest_hz = 0;
  double strongest_power = 0;
  double power = 0;
  double share = 0;
  int members = 0;
  int most_members = 0;
  int most_own_members = 0;  ///< that were no harmonics of one tone
  bool period_doubling = false;
  double nats = 0;
  double peak_nats = 0;
  int rows = 0;
  int missing_rows = 0;
  double teeth_before = 0;  ///< mean power of the teeth when it came up; 0: not known
  double start_s = 0;      ///< time of the row from which on all evidence counts
  double growth_db_s = 0;  ///< over the last rows
  double rise_db = 0;      ///< over the last two
  bool abrupt = false;     ///< came up as quickly as the frame lets anything: a knock does, and chatter now and then
  double most_growth_db_s = 0;
  double glide_per_s = 0;             ///< how fast the tone moves, relative to itself
  std::array<double, 16> power_db{};  ///< ring of the last rows
  std::array<double, 16> hz{};        ///< of the strongest line, likewise

  /// What its power is measured by: the teeth's power `held`, but no more than they can have risen to since the track came up, for
  /// loud chatter that is still on its way stands on the teeth's places, too.
  double teeth_beside(double held) const noexcept;
};

/// Power of the tooth lines: the largest of the last second, of this row, and the mean of the last second (0: not known yet).
struct ToothPower {
  double held = 0;
  double now = 0;
  double settled = 0;
};

class Tracker {
 public:
  /// `new_share`: part of a frame that is new in each row (hop over frame).
  Tracker(const TrackerSettings& settings, double row_s, double new_share);

  /// `votes` of this row; `restrain`: nats taken off every
  /// row's evidence (the cut is just ending, say). `now_s` dates new tracks.
  void process(std::span<const FamilyVote> votes, const Comb& comb, double bin_hz, const ToothPower& teeth, double restrain,
               double now_s);
  void reset() noexcept { tracks_.clear(); }

  std::span<const Track> tracks() const noexcept { return tracks_; }
  /// The track with most evidence; none if there is none.
  const Track* best() const noexcept;
  const TrackerSettings& settings() const noexcept { return settings_; }

 private:
  TrackerSettings settings_;
  double row_s_;
  double new_share_;
  std::vector<Track> tracks_;
};

}  // namespace hushmill::listen
