// A chatter family that stands, however long it has stood: whether it is new is not asked.
//
// Chatter is heard because it is new (tracker.hpp). What sang already when listening began, or came over from another speed while the
// spindle was turned, is not new and would become the background. But teeth and runout apart, nothing in a shop makes lines at one
// distance from the tooth multiples in order after order (family.hpp). So where lines beside the teeth, over floor and room alone,
// are one family in row after row, it is chatter. Lines on rotation multiples say nothing here. Delay: some tenths of a second.
#pragma once

#include <span>
#include <vector>

#include "listen/comb.hpp"
#include "listen/family.hpp"
#include "signal/lines.hpp"

namespace hushmill::listen {

struct StandingSettings {
  int least_rows = 6;          ///< that agree on the place
  double least_nats = 25;      ///< over all of them
  int least_teeth = 3;         ///< tooth multiples that stand clear in each
};

class StandingFamily {
 public:
  explicit StandingFamily(const StandingSettings& settings) : settings_(settings) {}

  /// Next row of the long window: lines over floor and room, strongest first, and a comb that was measured. True once it is sure.
  bool process(std::span<const signal::Line> lines, const Comb& comb, double bin_hz);
  void forget() noexcept { rows_ = 0; }

 private:
  bool one_family(std::span<const signal::Line> lines, const Comb& comb, double bin_hz);
  bool is_hum(double bin_hz) const;
  double share_with_doubles(double offset_hz, const Comb& comb, double bin_hz) const;
  bool any_share(const Comb& comb, double bin_hz);

  StandingSettings settings_;
  std::vector<NewLine> beside_;
  std::vector<double> folded_hz_;  ///< of each of them
  std::vector<FamilyVote> votes_;
  double offset_hz_ = 0;
  double nats_ = 0;
  double ambiguous_nats_ = 0;
  int rows_ = 0;
};

}  // namespace hushmill::listen
