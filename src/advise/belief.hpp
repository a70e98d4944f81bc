// What is believed of every speed after all that was heard and tried: the chance that the cut is quiet there.
#pragma once

#include <vector>

#include "advise/cloud.hpp"
#include "advise/speed_grid.hpp"

namespace hushmill::advise {

class Belief {
 public:
  /// Takes in the chatter of the question and its earlier trials. Deterministic; up to about half a second of one core.
  Belief(const Question& question, const SpeedGrid& grid);

  const SpeedGrid& grid() const noexcept { return grid_; }
  /// Chance of quiet per grid speed, averaged over about one percent of speed.
  const std::vector<double>& quiet() const noexcept { return quiet_; }
  double quiet_at(double spindle_rpm) const noexcept { return grid_.at(quiet_, spindle_rpm); }
  /// The same at some speeds with the depth multiplied by a factor; memory of the tried speeds is left out.
  std::vector<double> quiet_with_depth(const std::vector<double>& speeds_rpm, double depth_factor) const;
  /// Sources of chatter that no single guess explains: 1, or more when frequencies take turns.
  std::size_t voices() const noexcept { return voices_.size(); }
  /// False when nothing that was heard could be explained: then `quiet` is no probability.
  bool known() const noexcept { return known_; }
  /// Damping or engagement as told do not go with the tone that was heard and were passed over.
  bool passed_over_damping() const noexcept { return passed_over_damping_; }
  bool passed_over_engagement() const noexcept { return passed_over_engagement_; }

 private:
  // One source of chatter and the clouds anchored at each frequency that it explained.
  struct Voice {
    std::vector<Cloud> clouds;
    std::vector<Sighting> heard;
    std::vector<Cloud::Pick> picks;           ///< of all clouds, weights summing to 1
    double guesses = 0;                       ///< how many guesses of equal weight the picks are worth
    std::vector<std::vector<double>> chances;  ///< of quiet, per grid speed and pick
  };
  Cloud cloud_for(const Question& question, const Sighting& sighting, int wanted);
  void hear(const Question& question, const Sighting& sighting, int wanted);
  void pick(Voice& voice, const std::vector<Trial>& told) const;
  void step(Voice& voice) const;
  double mean_quiet(const Voice& voice, const std::vector<double>& chances) const noexcept;
  double with_failures(double chance, double rpm) const noexcept;
  double with_memory(double chance, double rpm) const noexcept;

  SpeedGrid grid_;
  int flutes_ = 1;
  std::vector<double> held_rpm_;
  std::vector<Voice> voices_;
  std::vector<double> loud_rpm_;
  std::vector<double> quiet_;
  bool known_ = false;
  bool passed_over_damping_ = false;
  bool passed_over_engagement_ = false;
};

}  // namespace hushmill::advise
