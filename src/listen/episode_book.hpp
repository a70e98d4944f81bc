// Follows chatter once it was raised, decides when it is gone, and keeps the list of episodes.
//
// An episode ends only when its whole family is gone for `gone_s`, so a dip in a corner does not break it in two; its end is
// then dated back. A later episode near the same frequency is linked to the first as its return.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "listen/findings.hpp"
#include "listen/row.hpp"
#include "listen/tracker.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

struct EpisodeSettings {
  double gone_s = 0.4;
  double gone_below_peak_db = 22;    ///< the family is gone when it is this far below its highest level …
  double over_runout = 3;            ///< and on a rotation multiple of another speed, when it stands less than this over the others …
  double gone_above_background = 4;  ///< … or its strongest line is less than this ratio over the background
};

class EpisodeBook {
 public:
  explicit EpisodeBook(const EpisodeSettings& settings) : settings_(settings) {}

  /// Opens an episode for a track that was raised at the newest row.
  void open(const Track& track, const Row& row);
  /// Follows the open episode through the next row; true when it just closed.
  bool follow(const Row& row);
  /// Lines of the next long row, for the exact frequency. Call after `follow`.
  void sharpen(std::span<const signal::Line> lines, double long_bin_hz, const Comb& comb);
  /// Another family has taken over the open episode (the speed moved, say).
  void move_to(const Track& track) noexcept;
  /// The recording ends: an open episode stays open and ends at `t_s`.
  void finish(double t_s);
  /// The entered speed changed: later episodes are not returns of earlier ones.
  void new_speed() noexcept { first_of_speed_ = episodes_.size(); }

  bool is_open() const noexcept { return open_; }
  /// Of the open episode, at the speed that runs now; the episode's own is that of its strongest line over all speeds.
  double chatter_hz_now() const noexcept { return chatter_hz_now_; }
  double offset_hz() const noexcept { return offset_hz_; }
  double strongest_power() const noexcept { return strongest_power_; }
  double share_now() const noexcept { return share_now_; }
  double growth_db_s() const noexcept { return growth_db_s_; }
  const std::vector<Episode>& episodes() const noexcept { return episodes_; }

 private:
  struct Member {
    double power_sum = 0;
    double hz_sum = 0;      ///< weighted by power, from the long rows
    double hz_weight = 0;
    double place_hz = 0;
  };
  bool is_runout(const Row& row, double hz, double power) const;
  void update_frequency();
  void set_members_aside() noexcept;

  EpisodeSettings settings_;
  std::vector<Episode> episodes_;
  std::size_t first_of_speed_ = 0;
  bool open_ = false;
  bool alive_ = false;      ///< the family stood in the newest row
  bool came_over_ = false;  ///< the open episode, from another speed
  double offset_hz_ = 0;
  double tooth_hz_ = 0;
  double peak_power_ = 0;
  double strongest_power_ = 0;
  double share_now_ = 0;
  double growth_db_s_ = 0;
  double last_db_ = 0;
  double last_alive_s_ = 0;
  double share_family_ = 0;
  double share_total_ = 0;
  double earlier_power_sum_ = 0;  ///< of the strongest line of a family that this episode moved away from
  double half_within_hz_ = 0;
  double chatter_hz_now_ = 0;
  double gate_now_ = 0;  ///< what a line's power must sum up to before chatter_hz_now_ follows it
  std::map<std::pair<int, int>, Member> members_;  ///< (order, sign) to what was heard there
};

}  // namespace hushmill::listen
