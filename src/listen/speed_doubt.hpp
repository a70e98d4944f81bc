// Does another override step or another flute count explain the sound far better than what was entered?
//
// Asks the lines of the long window which multiples of a comb are there and which are missing, and compares combs by
// likelihood. A claim needs three looks in a row that agree, so it comes about half a second after the cut begins. It
// only says so: whoever listens decides. Without runout a comb tells only flutes times speed, so one answer of several
// may be given.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "listen/comb.hpp"
#include "listen/findings.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

class SpeedDoubt {
 public:
  explicit SpeedDoubt(std::size_t long_bins);

  /// A newly entered speed or flute count: starts over.
  void expect(double spindle_rpm, int flutes) noexcept;
  /// Lines of the next long row. `comb` is the comb that is listened with now; `singing`: chatter is open. True when
  /// the answer changed.
  bool process(std::span<const signal::Line> lines, double bin_hz, const Comb& comb, bool singing) noexcept;
  /// Something else has found the comb that is listened with right.
  void vouch() noexcept;
  /// One of the last looks speaks against the answer that stands: not yet a claim, but a reason to wait with an alarm.
  bool suspicious() const noexcept;
  /// The comb that is listened with was looked at and found right.
  bool trusted() const noexcept;
  /// What fits far better than what was entered; none while the entered one does.
  const std::optional<OtherFit>& other() const noexcept { return other_; }

  /// What was found on a comb, in nats over chance. For tests.
  struct Fit {
    OtherFit fit;
    double nats = 0;
    double present = 0;  ///< part of the tooth multiples that are there
  };

 private:
  void mark(std::span<const signal::Line> lines, double bin_hz) noexcept;
  double presence(double hz) const noexcept;
  Fit fit_spacing(double tooth_hz) const noexcept;
  Fit best_near(double spindle_rpm, int flutes, double within) const noexcept;
  std::optional<OtherFit> look_for_speed(const Comb& comb) const noexcept;
  std::optional<OtherFit> look_for_flutes(const Comb& comb) const noexcept;

  double entered_rpm_ = 0;
  int entered_flutes_ = 1;
  std::vector<float> present_;  // by bin of the long window: 0 nothing, 1 a clear line
  double bin_hz_ = 1;
  double limit_hz_ = 0;  // the highest clear line: above, nothing is missed
  double covered_ = 0;   // part of the band that the lines cover
  int rows_ = 0;
  int agreeing_ = 0;
  int suspicious_looks_ = 0;
  int lost_looks_ = 0;     // in which a comb that had been found was gone
  int trusted_looks_ = 0;  // in which the entered comb was found and in no doubt
  std::optional<OtherFit> last_;
  std::optional<OtherFit> other_;
};

}  // namespace hushmill::listen
