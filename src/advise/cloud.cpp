#include "advise/cloud.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "advise/draw.hpp"
#include "advise/prior.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

// Measured on simulated cuts reckoned with their true parameters.
constexpr double kGrowthSoft = 0.012;  // log growth per tooth that leaves stability in doubt
constexpr double kGrowthOff = 0.015;   // so much short of growth it is as often loud as quiet
constexpr double kMostQuiet = 0.95;    // a cut that is linearly stable may be kept loud by its own entry
constexpr double kGrowthSpread = 0.5;  // of ln(growth heard over growth computed)
// Turn per tooth of saturated chatter against the linear one: the faster it grows, the farther they lie apart.
constexpr double kTurnSpread = 0.006;
constexpr double kTurnSpreadPerWave = 0.002;  // the speed is known no better
constexpr double kTurnSpreadPerGrowth = 0.04;
constexpr double kNarrowTurn = 0.02;  // a spread at which a match counts in full
constexpr double kFits = 0.003;        // less than this is no explanation of the anchored tone
constexpr double kUnexplained = 0.01;  // match of another tone that a guess does not explain
constexpr int kRounds = 3;             // of varying the guesses
constexpr std::uint64_t kMoveSeed = 0x307e5ULL;
constexpr double kShareFloor = 0.05;  // the microphone may hear a member well that moves little

// The strongest line heard may be a neighbour in the family: f_c = |heard + shift f_tooth|, with its share.
struct Shift {
  int teeth;
  double share;
};
constexpr std::array<Shift, 4> kShifts{{{0, 0.86}, {-1, 0.09}, {1, 0.02}, {-2, 0.03}}};

double line_hz(double heard_hz, double tooth_hz, int teeth) noexcept { return std::abs(heard_hz + teeth * tooth_hz); }

int draw_shift(Spender& luck) noexcept {
  double left = luck.unit();
  for (const Shift& shift : kShifts) {
    if (left < shift.share) return shift.teeth;
    left -= shift.share;
  }
  return 0;
}

double logistic(double x) noexcept { return 1.0 / (1.0 + std::exp(-x)); }

double quiet_growing(double log_growth) noexcept {
  return kMostQuiet * logistic((-log_growth - kGrowthOff) / kGrowthSoft);
}

// The tone that the guess was anchored at, which fixes its frequency, or one that it has to foretell: there a vague
// prophecy is worth less.
enum class Tone { own, other };

double match_of(const ToothGrowth& there, const Sighting& sighting, int flutes, Tone kind) noexcept {
  double fit = 1.0 - quiet_growing(there.log_growth);
  // The turn per tooth is the fraction of a wave, mirrored, whichever member of the family was the loudest.
  const double waves = cutting::waves_per_tooth(sighting.chatter_hz, sighting.spindle_rpm, flutes);
  const double turn = std::abs(waves - std::round(waves));
  const double spread =
      kTurnSpread + kTurnSpreadPerWave * waves + kTurnSpreadPerGrowth * std::max(0.0, there.log_growth);
  const double miss = (turn - there.turn) / spread;
  fit *= 1.0 / (1.0 + miss * miss);
  if (kind == Tone::other) fit *= kNarrowTurn / (kNarrowTurn + spread);
  fit *= (there.share + kShareFloor) / (1 + kShareFloor);
  if (sighting.growth_per_s && *sighting.growth_per_s > 0) {
    const double per_s = std::max(there.log_growth, 1e-4) * cutting::tooth_passing_hz(sighting.spindle_rpm, flutes);
    const double off = (std::log(per_s / *sighting.growth_per_s) - 0.2) / kGrowthSpread;
    fit *= 1.0 / (1.0 + off * off);
  }
  return fit;
}

// The main pair of modes should be found among the taps; a mode that was tapped across its direction was missed.
double tap_fit(const FlexibleCut& cut, const std::vector<Tap>& taps) noexcept {
  constexpr double kTapSpread = 0.012;  // of ln(frequency): hammer, holder warm or cold
  constexpr double kMissed = 0.15;
  if (taps.empty()) return 1;
  double fit = 1;
  for (std::size_t i = 0; i < 2; ++i) {
    double nearest = 0;
    for (const Tap& tap : taps) {
      const double off = std::log(cut.modes[i].ratio * cut.first_mode_hz / tap.hz) / kTapSpread;
      nearest = std::max(nearest, std::exp(-0.5 * off * off));
    }
    fit *= (kMissed + nearest) / (kMissed + 1);
  }
  return fit;
}

}  // namespace

Cloud::Cloud(const Question& question, const Sighting& sighting, int wanted, std::uint64_t seed)
    : question_(question), sighting_(sighting) {
  Draw draw(seed);
  LobeCurve curve;
  constexpr int kPatience = 3;
  std::vector<Guess> drawn;
  for (int i = 0; i < wanted * kPatience && static_cast<int>(drawn.size()) < wanted; ++i)
    if (const auto guess = guess_from(fresh_luck(draw), curve)) drawn.push_back(*guess);
  std::stable_sort(drawn.begin(), drawn.end(),
                   [](const Guess& a, const Guess& b) { return a.cut.mode_count < b.cut.mode_count; });
  // The averaged lobes only propose: the stepped teeth must chatter too, and turn by the phase that was heard.
  const std::vector<double> fits = own_fits(drawn);
  for (std::size_t i = 0; i < drawn.size(); ++i) {
    if (fits[i] < kFits) continue;
    drawn[i].cut.weight *= fits[i] * tap_fit(drawn[i].cut, question.taps);
    guesses_.push_back(drawn[i]);
  }
}

std::optional<Cloud::Guess> Cloud::guess_from(const Luck& luck, LobeCurve& curve) const {
  Spender spender(luck);
  const double tooth_hz = cutting::tooth_passing_hz(sighting_.spindle_rpm, question_.flutes);
  const double hz = line_hz(sighting_.chatter_hz, tooth_hz, draw_shift(spender));
  Guess guess{luck, draw_cut(question_, spender), hz};
  if (!(hz > 1.0) || !anchor(guess.cut, curve, sighting_, hz, question_.flutes)) return std::nullopt;
  return guess;
}

std::vector<ToothGrowth> Cloud::stepped(const std::vector<Guess>& guesses, const Sighting& sighting) const {
  std::vector<const FlexibleCut*> cuts;
  for (const Guess& guess : guesses) cuts.push_back(&guess.cut);
  std::vector<ToothGrowth> growths(cuts.size());
  tooth_growths(cuts, sighting.spindle_rpm, question_.flutes, 1.0, Wanted::multiplier, growths,
                cutting::waves_per_tooth(sighting.chatter_hz, sighting.spindle_rpm, question_.flutes));
  return growths;
}

// The averaged lobes place a guess a little off: its frequencies are shifted until the stepped teeth turn as heard.
std::vector<double> Cloud::own_fits(std::vector<Guess>& guesses) const {
  constexpr int kShifts = 2;
  constexpr double kFarOff = 0.1;  // of a wave: there another mode of the guess has the upper hand
  const double heard = cutting::waves_per_tooth(sighting_.chatter_hz, sighting_.spindle_rpm, question_.flutes);
  const double heard_turn = std::abs(heard - std::round(heard));
  std::vector<ToothGrowth> best = stepped(guesses, sighting_);
  const auto miss = [&](const ToothGrowth& growth) { return heard_turn - growth.turn; };
  for (int shift = 0; shift < kShifts; ++shift) {
    std::vector<Guess> shifted = guesses;
    for (std::size_t i = 0; i < guesses.size(); ++i) {
      if (std::abs(miss(best[i])) > kFarOff) continue;
      const double waves = cutting::waves_per_tooth(guesses[i].anchored_hz, sighting_.spindle_rpm, question_.flutes);
      const double way = waves > std::round(waves) ? 1.0 : -1.0;
      shifted[i].cut.first_mode_hz *= 1.0 + way * miss(best[i]) / waves;
    }
    const std::vector<ToothGrowth> now = stepped(shifted, sighting_);
    for (std::size_t i = 0; i < guesses.size(); ++i) {
      if (std::abs(miss(now[i])) >= std::abs(miss(best[i]))) continue;
      guesses[i] = shifted[i];
      best[i] = now[i];
    }
  }
  std::vector<double> fits;
  for (const ToothGrowth& growth : best) fits.push_back(match_of(growth, sighting_, question_.flutes, Tone::own));
  return fits;
}

std::vector<double> Cloud::matches(const Sighting& sighting) const { return matches_of(guesses_, sighting); }

std::vector<double> Cloud::matches_of(const std::vector<Guess>& guesses, const Sighting& sighting) const {
  std::vector<double> found;
  for (const ToothGrowth& growth : stepped(guesses, sighting))
    found.push_back(match_of(growth, sighting, question_.flutes, Tone::other));
  return found;
}

double Cloud::mean(const std::vector<double>& matches) const {
  double sum = 0;
  double weights = 0;
  for (std::size_t i = 0; i < guesses_.size(); ++i) {
    weights += guesses_[i].cut.weight;
    sum += guesses_[i].cut.weight * matches[i];
  }
  return weights > 0 ? sum / weights : 0.0;
}

double Cloud::learn(const std::vector<double>& matches) {
  const double before = mean(matches);
  for (std::size_t i = 0; i < guesses_.size(); ++i) guesses_[i].cut.weight *= matches[i] + kUnexplained;
  return before;
}

double Cloud::effective_size() const noexcept {
  double sum = 0;
  double squares = 0;
  for (const Guess& guess : guesses_) {
    sum += guess.cut.weight;
    squares += guess.cut.weight * guess.cut.weight;
  }
  return squares > 0 ? sum * sum / squares : 0.0;
}

std::vector<Cloud::Pick> Cloud::settled(int count, const std::vector<Sighting>& others) const {
  double total = 0;
  for (const Guess& guess : guesses_) total += guess.cut.weight;
  std::vector<Pick> picks;
  if (!(total > 0)) return picks;
  std::vector<Guess> held;
  double summed = 0;
  for (const Guess& guess : guesses_) {
    summed += guess.cut.weight / total * count;
    while (static_cast<double>(held.size()) + 0.5 < summed) held.push_back(guess);
  }
  Draw draw(kMoveSeed);
  LobeCurve curve;
  for (int round = 0; round < kRounds; ++round) {
    std::vector<std::size_t> from;
    std::vector<Guess> moved;
    for (std::size_t i = 0; i < held.size(); ++i) {
      auto guess = guess_from(varied_luck(held[i].luck, draw), curve);
      if (!guess) continue;
      from.push_back(i);
      moved.push_back(*guess);
    }
    const std::vector<double> own = own_fits(moved);
    for (std::size_t k = 0; k < moved.size(); ++k) moved[k].cut.weight *= own[k] < kFits ? 0.0 : own[k] * tap_fit(moved[k].cut, question_.taps);
    for (const Sighting& other : others) {
      const std::vector<double> fits = matches_of(moved, other);
      for (std::size_t k = 0; k < moved.size(); ++k) moved[k].cut.weight *= fits[k] + kUnexplained;
    }
    for (std::size_t k = 0; k < moved.size(); ++k)
      if (draw.unit() * held[from[k]].cut.weight < moved[k].cut.weight) held[from[k]] = moved[k];
  }
  for (const Guess& guess : held) picks.push_back({guess.cut, 1.0});
  return picks;
}

std::vector<double> quiet_chances(const std::vector<Cloud::Pick>& picks, double spindle_rpm, int flutes,
                                  double depth_factor) {
  std::vector<const FlexibleCut*> cuts;
  for (const Cloud::Pick& pick : picks) cuts.push_back(&pick.cut);
  std::vector<ToothGrowth> growths(cuts.size());
  tooth_growths(cuts, spindle_rpm, flutes, depth_factor, Wanted::sign, growths);
  std::vector<double> chances;
  for (const ToothGrowth& growth : growths) chances.push_back(quiet_growing(growth.log_growth));
  return chances;
}

}  // namespace hushmill::advise
