// Many guesses of one cut, all made to chatter at one heard frequency, weighed by everything else that was tried.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "advise/advice.hpp"
#include "advise/anchor.hpp"
#include "advise/draw.hpp"
#include "advise/flexible_cut.hpp"
#include "advise/tooth_growth.hpp"

namespace hushmill::advise {

class Cloud {
 public:
  /// Draws guesses until `wanted` of them can chatter as heard or patience runs out; equal arguments, equal cloud. About
  /// 0.1 ms a guess.
  Cloud(const Question& question, const Sighting& sighting, int wanted, std::uint64_t seed);

  /// How well each guess explains chatter heard at a speed, 0 to 1.
  std::vector<double> matches(const Sighting& sighting) const;
  /// Weighs each guess by its match. Returns the weighted mean match before, 0 to 1: near 0 means that this cloud does
  /// not explain that frequency.
  double learn(const std::vector<double>& matches);
  /// The mean match that learn would return, without learning.
  double mean(const std::vector<double>& matches) const;

  /// A guess that stands for several of its weight.
  struct Pick {
    FlexibleCut cut;
    double weight = 0;
  };
  /// `count` guesses of equal weight, drawn by their weights and then varied, step by step, each step taken as often as
  /// the variation explains the cloud's own tone and the `others` better (N. Metropolis et al., "Equation of State
  /// Calculations by Fast Computing Machines", 1953, from memory): so that few good guesses become many different ones.
  /// None when no guess has weight.
  std::vector<Pick> settled(int count, const std::vector<Sighting>& others) const;

  bool empty() const noexcept { return guesses_.empty(); }
  std::size_t size() const noexcept { return guesses_.size(); }
  /// How many guesses of equal weight would say as much: low when few guesses explain all that was heard.
  double effective_size() const noexcept;

 private:
  struct Guess {
    Luck luck{};
    FlexibleCut cut;
    double anchored_hz = 0;  ///< member of the family that it was made to chatter at
  };
  std::optional<Guess> guess_from(const Luck& luck, LobeCurve& curve) const;
  std::vector<ToothGrowth> stepped(const std::vector<Guess>& guesses, const Sighting& sighting) const;
  std::vector<double> own_fits(std::vector<Guess>& guesses) const;
  std::vector<double> matches_of(const std::vector<Guess>& guesses, const Sighting& sighting) const;

  Question question_;
  Sighting sighting_;
  std::vector<Guess> guesses_;  ///< sorted by number of modes
};

/// Chance per guess that the cut is quiet at a speed, by stepping its teeth. Best sorted by number of modes.
std::vector<double> quiet_chances(const std::vector<Cloud::Pick>& picks, double spindle_rpm, int flutes,
                                  double depth_factor = 1.0);

}  // namespace hushmill::advise
