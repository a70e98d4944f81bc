// Follows the listener from hop to hop and keeps the trials: one for each stretch of constant entered speed, judged from
// the findings (judge.hpp), with levels from the spectra (level_sums.hpp).
//
// Deterministic: the same hops, marks and tags give the same trials, live and in a review. Spectra are held back for a
// second and a quarter before they count as quiet or as chatter, since the findings date chatter and cuts back; so the
// levels of a trial are final that long after its end. One thread; allocates.
#pragma once

#include <deque>
#include <map>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "listen/findings.hpp"
#include "listen/snapshot.hpp"
#include "trial/judge.hpp"
#include "trial/level_sums.hpp"
#include "trial/trial.hpp"
#include "trial/turned_knob.hpp"

namespace hushmill::trial {

class TrialBook {
 public:
  explicit TrialBook(const Rules& rules, std::vector<Tag> tags = {}) : rules_(rules), tags_(std::move(tags)) {}

  /// Call after every hop of the listener; a second call for the same hop does nothing.
  void process(const listen::Snapshot& snapshot, const listen::Findings& findings);
  /// The sound has ended and the listener is finished: the last trial ends with it.
  void finish(const listen::Findings& findings);

  /// The cut itself was changed (depth, width, tool, flutes) at `t_s`: a trial of another cut begins, and what chattered
  /// before says nothing of it.
  void new_set_up(double t_s);
  /// It was a slip that was taken back: the set-up before goes on, with what was tried on it.
  void old_set_up(double t_s);
  /// The next change of the entered speed confirms what the sound has said since `t_s`: its trial began then.
  void next_began(double t_s) noexcept { next_began_s_ = t_s; }
  /// The person marks the begin of a lap or pass, then its end, then the begin of the next. A second press within a second is
  /// none; one that was begun before another cut does not end on it.
  void mark(double t_s);
  /// From now on this kind of place is cut; none: nothing is said of it.
  void tag(double t_s, std::optional<Place> place);

  /// Oldest first; the last one may still be running. At most 1000 are kept.
  std::vector<Trial> trials(const listen::Findings& findings) const;
  /// The same, but for those before the last `most`.
  std::vector<Trial> last_trials(const listen::Findings& findings, std::size_t most) const;
  /// Trials that have ended for good, levels and all, those no longer kept included.
  std::size_t ended() const noexcept { return forgotten_ + done_.size(); }
  /// One of them by its number, counted from 0; at least `forgotten()`.
  const Trial& ended(std::size_t number) const { return done_.at(number - forgotten_); }
  /// The one that is running, as far as it has come; none when the sound is over.
  std::optional<Trial> running(const listen::Findings& findings) const;
  /// All there were, the running one included.
  std::size_t count() const noexcept { return ended() + open_.size(); }
  /// Trials that are no longer kept.
  std::size_t forgotten() const noexcept { return forgotten_; }

  /// What the sound fits now instead of the entered speed and flutes: the listener's own doubt, else a knob that was
  /// turned without a word (turned_knob.hpp).
  std::optional<listen::OtherFit> heard_instead(const listen::Findings& findings) const {
    return findings.other_fit ? findings.other_fit : knob_.heard();
  }

  const std::vector<double>& marks_s() const noexcept { return marks_s_; }
  std::optional<Place> place_now() const noexcept { return place_now_; }

 private:
  using Kind = std::pair<int, bool>;  // place or -1 for all, and whether it chattered
  struct Open {
    Stretch stretch;
    std::map<Kind, LevelSums> sums;
    int flutes = 1;
    double doubted_s = 0;
    double doubted_since_s = 0;
    double agreed_s = 0;  // in the cut, with the entered speed measured
    bool doubted_now = false;
    std::optional<listen::OtherFit> fit;
  };
  struct Row {
    double t_s = 0;
    double total_dbfs = 0;
    double bin_hz = 0;
    std::vector<float> spectrum_dbfs;
  };

  void begin(double from_s, double spindle_rpm);
  void follow_stretches(const listen::Snapshot& snapshot, const listen::Findings& findings);
  void note_doubt(const listen::Snapshot& snapshot, const listen::Findings& findings);
  void hold_back(const listen::Snapshot& snapshot);
  void sort_rows(double until_s, const listen::Findings& findings);
  void sort_row(const Row& row, const listen::Findings& findings);
  void settle_up(double until_s, const listen::Findings& findings);
  Trial trial_of(const Open& open, const listen::Findings& findings) const;
  void add_levels(Trial& trial, const Open& open, const listen::Findings& findings) const;
  void keep(Trial trial);

  void note_agreement(const listen::Snapshot& snapshot);

  Rules rules_;
  TurnedKnob knob_;
  std::vector<Tag> tags_;
  std::vector<double> marks_s_;
  std::optional<Place> place_now_;
  std::vector<Trial> done_;  // with everything
  std::deque<Open> open_;    // running, or ended so lately that the findings may still change
  std::size_t stretches_ = 0;
  std::size_t forgotten_ = 0;
  int set_up_ = 0;
  double set_up_since_s_ = 0;
  std::pair<int, double> set_up_before_{0, 0};  // its number, and since when
  int set_ups_ = 0;
  std::optional<double> next_began_s_;
  std::deque<Row> rows_;
  std::vector<float> room_dbfs_;
  double last_s_ = 0;
  bool in_cut_ = false;
  std::vector<std::vector<float>> spare_;  // buffers to be used again
};

}  // namespace hushmill::trial
