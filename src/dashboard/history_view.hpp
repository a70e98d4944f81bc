// The last seconds of spectra as picture columns. Levels are kept as half decibels on a fixed frequency grid, so a
// change of scale moves the picture's edges instead of making it again, and a louder stretch changes the shades of all
// columns alike: two columns of one shade are of one level. Each new moment writes one column. Pure: the texture is
// somebody else's.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "listen/snapshot.hpp"

namespace hushmill::dashboard {

class History {
 public:
  static constexpr int kColumns = 640;
  static constexpr int kRows = 512;     ///< row 0 is the lowest frequency
  static constexpr double kSpanS = 20;  ///< what the columns hold together

  /// Writes the columns from the moment of the last call up to this one (a gap is filled with the newest spectrum).
  /// Forgets everything when time runs backward.
  void add(const listen::Snapshot& snapshot);

  /// Highest frequency of the grid; 0 before the first spectrum.
  double top_hz() const noexcept { return top_hz_; }
  /// Number of the newest column since the start; column n lies at n mod kColumns.
  std::int64_t newest() const noexcept { return newest_; }
  /// Stream time at the right edge of the newest column.
  double newest_s() const noexcept { return static_cast<double>(newest_ + 1) * kSpanS / kColumns; }
  /// Levels of one stored column, lowest frequency first, in half decibels above −127.5 dBFS.
  std::span<const std::uint8_t> column(int stored) const noexcept;
  /// What was heard at that stream time and frequency, dBFS to half a decibel; none outside what is held.
  std::optional<double> dbfs_at(double t_s, double hz) const noexcept;
  /// Shade 0 to 1 of a level, by the loudest line of the span held.
  double shade(std::uint8_t level) const noexcept;
  /// Columns to be painted since the last call, as stored positions: the new ones, or all when the shades moved. Good until
  /// the next call.
  std::span<const int> take_dirty();
  /// All columns are to be painted again (another theme, a new texture).
  void make_all_dirty();

 private:
  void write(int stored, const listen::Snapshot& snapshot);

  double top_hz_ = 0;
  double bin_hz_ = 0;
  std::int64_t newest_ = -1;
  std::vector<std::uint8_t> levels_ = std::vector<std::uint8_t>(static_cast<std::size_t>(kColumns) * kRows, 0);
  std::vector<int> dirty_, taken_;
  std::vector<std::uint8_t> loudest_ = std::vector<std::uint8_t>(kColumns, 0);  ///< of each column
  int brightest_ = kLeastBrightest;  ///< the level that gets the full shade, in coarse steps so that it seldom moves

  static constexpr int kLeastBrightest = 2 * 67;  // −60 dBFS: a silent room does not glow
};

}  // namespace hushmill::dashboard
