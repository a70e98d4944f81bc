// Was the knob turned without a word? Which speed explains the lines that stand in the sound where the entered one no
// longer does.
//
// The listener's own doubt compares the entered comb with override steps by the clear lines of the moment; a quiet cut
// has few of those, and they are soon taken for background. This watch asks for persistence instead: a line of a
// machine that turns evenly stands in the same place for a second and a half, noise does not. Teeth and runout both
// count. It says nothing while the speed is still moving, with fewer than four such lines, or while a third of them stands
// on the entered comb or the listener measures that comb. Delay: 1.5 to 3 s after the turn. One thread; allocates.
#pragma once

#include <deque>
#include <optional>
#include <vector>

#include "listen/findings.hpp"
#include "listen/snapshot.hpp"

namespace hushmill::trial {

class TurnedKnob {
 public:
  /// A newly entered speed or flute count, or a new cut: what was heard until now says nothing.
  void forget() noexcept;
  /// After every hop.
  void process(const listen::Snapshot& snapshot);
  /// The speed that is heard instead of the entered one, with the entered flutes.
  const std::optional<listen::OtherFit>& heard() const noexcept { return heard_; }

  /// A line that stands still.
  struct Line {
    double hz = 0;
    double dbfs = -200;
  };
  /// How well a comb explains lines that stand still, in nats over chance. Own scale: a line is on a rotation multiple by
  /// chance or not, a tooth multiple is there or not. For tests.
  static double nats(const std::vector<Line>& lines, double spindle_rpm, int flutes) noexcept;

 private:
  struct Row {
    double t_s = 0;
    std::vector<Line> lines;
  };
  void add_row(const listen::Snapshot& snapshot);
  std::vector<Line> standing() const;
  std::optional<listen::OtherFit> look(const listen::Snapshot& snapshot) const;

  std::deque<Row> rows_;
  double entered_rpm_ = 0;
  int flutes_ = 0;
  double next_row_s_ = 0, next_look_s_ = 0;
  std::optional<listen::OtherFit> last_, heard_;
  int agreeing_ = 0;
};

}  // namespace hushmill::trial
