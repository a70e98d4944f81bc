// The folded view: the spectrum cut into strips one tooth spacing long, stacked with the order upward. What is in step
// with the teeth stands in one column at zero; chatter steps out to the side, and its mirror with it. Pure.
#pragma once

#include <cstdint>
#include <vector>

#include "dashboard/tone.hpp"
#include "dashboard/words.hpp"
#include "listen/snapshot.hpp"

namespace hushmill::dashboard {

struct FoldedMark {
  double fraction = 0;  ///< of the tooth spacing, -0.5 to 0.5
  bool mirror = false;
};

struct FoldedView {
  int rows = 0;                    ///< row r is order r + 1
  int columns = 0;                 ///< odd, so that one column is the teeth
  std::vector<float> level;        ///< rows · columns, 0 (floor and below) to 1; row by row, lowest order first
  Few<FoldedMark, 2> marks;    ///< the chatter's fraction and its mirror
  Tone marks_tone = Tone::danger;  ///< abnormal while the chatter is only building
  double tooth_passing_hz = 0;
  std::vector<float> row_db;       ///< room to work in: one row, and the floors of all
  Words trouble;  ///< why there is nothing to fold, else empty

  float at(int row, int column) const { return level[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(column)]; }
};

/// At most `most_rows` orders and `most_columns` columns; fewer where the spectrum is too coarse for more. `again` gives
/// its memory to the answer, so that frame after frame needs none.
FoldedView prepare_folded(const listen::Snapshot& snapshot, FoldedView again = {}, int most_rows = 12, int most_columns = 49);

/// Position of a frequency within the tooth spacing, -0.5 to 0.5, zero on a tooth multiple.
double tooth_fraction(double hz, double tooth_passing_hz) noexcept;

}  // namespace hushmill::dashboard
