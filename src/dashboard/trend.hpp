// Whether the chatter grows or dies away, calmly: its mean level now against a second ago, said anew twice a second.
//
// The engine's own rate is that of the last rows; at the end of a burst it falls by hundreds of decibels a second, which
// is right and tells a person nothing. Pure; fed with stream times, no allocation.
#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "dashboard/words.hpp"

namespace hushmill::dashboard {

class Trend {
 public:
  /// One state: the level of the chatter, or none while there is none. Chatter that pauses for a second begins anew.
  void add(double t_s, std::optional<double> dbfs) noexcept;
  /// Mean of the last 0.3 s less that of the 0.3 s a second before; none while less has been heard. Renewed twice a
  /// second.
  std::optional<double> change_db() const noexcept { return change_db_; }
  /// "just begun", "level holds", "12 dB louder than a second ago", "dying away"; empty before any chatter.
  Words words() const;

 private:
  struct Heard {
    double t_s = 0;
    double dbfs = 0;
  };
  std::optional<double> mean_db(double from_s, double to_s) const noexcept;

  static constexpr std::size_t kMost = 64;
  std::array<Heard, kMost> heard_{};
  std::size_t count_ = 0;  ///< of all that were kept; the last kMost are there
  double said_s_ = 0;
  std::optional<double> change_db_;
};

}  // namespace hushmill::dashboard
