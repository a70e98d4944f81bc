// Many guesses of one cut, all made to chatter at one heard frequency, weighed by everything else that was tried.
#pragma once

#include <cstdint>
#include <vector>

#include "advise/advice.hpp"
#include "advise/anchor.hpp"
#include "advise/flexible_cut.hpp"
#include "advise/speed_grid.hpp"

namespace hushmill::advise {

class Cloud {
 public:
  /// Draws guesses until `wanted` of them fit the sighting or patience runs out; equal arguments, equal cloud. About
  /// 0.2 ms a guess.
  Cloud(const Question& question, const Sighting& sighting, const SpeedGrid& grid, int wanted, std::uint64_t seed);

  /// Chatter at another speed: weighs each guess by how well it predicts it. Returns the mean match before weighing, 0
  /// to 1: near 0 means that this cloud does not explain that frequency.
  double learn_chatter(const Sighting& sighting, int flutes);
  /// The mean match that learn_chatter would return, without learning.
  double match(const Sighting& sighting, int flutes) const;
  /// The cut was quiet at this speed, or chattered at an unknown frequency.
  void learn_quiet(double spindle_rpm);
  void learn_loud(double spindle_rpm);

  /// Chance that the cut is quiet, per grid speed, with the depth multiplied by `depth_factor`.
  std::vector<double> quiet_chance(double depth_factor = 1.0) const;

  /// A guess that stands for several of its weight.
  struct Pick {
    const FlexibleCut* cut = nullptr;
    double weight = 0;
  };
  /// About `count` guesses, evenly along the summed weights; none when no guess has weight.
  std::vector<Pick> picks(int count) const;
  /// Chance that a guess is quiet at a speed, by stepping its teeth.
  double stepped_quiet(const FlexibleCut& cut, double spindle_rpm, int flutes) const;

  bool empty() const noexcept { return guesses_.empty(); }
  std::size_t size() const noexcept { return guesses_.size(); }
  /// How many guesses of equal weight would say as much: low when few guesses explain all that was heard.
  double effective_size() const noexcept;

 private:
  double guess_match(std::size_t guess, const Sighting& sighting, int flutes) const;
  double stepped_match(const FlexibleCut& cut, const Sighting& sighting, int flutes) const;
  double quiet_at(std::size_t guess, double spindle_rpm) const noexcept;
  void keep_limits(const FlexibleCut& cut, int flutes);

  Sighting sighting_;
  SpeedGrid grid_;
  std::vector<FlexibleCut> guesses_;
  std::vector<std::vector<double>> log_room_;  ///< per guess and grid speed: ln(depth limit / depth)
};

}  // namespace hushmill::advise
