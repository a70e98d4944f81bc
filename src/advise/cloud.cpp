#include "advise/cloud.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "advise/draw.hpp"
#include "advise/prior.hpp"
#include "advise/tooth_growth.hpp"
#include "cutting/speeds.hpp"

namespace hushmill::advise {

namespace {

constexpr double kDepthError = 0.13;         // spread of ln(limit) of zero-order theory against simulated cuts
constexpr double kGrowthSoft = 0.02;         // log growth per tooth that leaves stability in doubt
constexpr double kGrowthOff = 0.005;         // so much short of growth it is as often loud as quiet
constexpr double kMostQuiet = 0.96;          // a cut that is linearly stable may be kept loud by its own entry
constexpr double kGrowthSpread = 0.5;        // of ln(growth heard over growth computed)
constexpr double kTurnSpreadPerWave = 0.02;  // saturated against linear chatter frequency, relative
constexpr double kTurnSpread = 0.015;
constexpr double kLineSpread = 0.03;   // of ln(frequency): crossing of the lobes against saturated chatter
constexpr double kLineBias = 0.006;    // the crossing lies this much below
constexpr double kDeepEnough = 4;      // limits this many times the depth are as good as none
constexpr double kMostRoom = 4;        // ln: no limit at all counts as this much
constexpr double kDampingStep = 1.12;  // a new curve when any damping has changed this much

// The strongest line heard may be a neighbour in the family: f_c = |heard + shift f_tooth|, with its share.
struct Shift {
  int teeth;
  double share;
};
constexpr std::array<Shift, 4> kShifts{{{0, 0.86}, {-1, 0.09}, {1, 0.02}, {-2, 0.03}}};

double line_hz(double heard_hz, double tooth_hz, int teeth) noexcept { return std::abs(heard_hz + teeth * tooth_hz); }

int draw_shift(Draw& draw) noexcept {
  double left = draw.uniform(0.0, 1.0);
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

double quiet(double log_room, double log_depth_factor = 0.0) noexcept {
  return logistic(1.7 * (log_room - log_depth_factor) / kDepthError);
}

}  // namespace

Cloud::Cloud(const Question& question, const Sighting& sighting, const SpeedGrid& grid, int wanted, std::uint64_t seed)
    : sighting_(sighting), grid_(grid) {
  Draw draw(seed);
  LobeCurve curve;
  const double tooth_hz = cutting::tooth_passing_hz(sighting.spindle_rpm, question.flutes);
  constexpr int kPatience = 3;
  for (int i = 0; i < wanted * kPatience && static_cast<int>(guesses_.size()) < wanted; ++i) {
    FlexibleCut cut = draw_cut(question, draw);
    const double hz = line_hz(sighting.chatter_hz, tooth_hz, draw_shift(draw));
    if (!(hz > 1.0) || !anchor(cut, curve, sighting, hz, question.flutes)) continue;
    // The averaged lobes only propose: the stepped teeth must chatter too, and turn by the phase that was heard.
    const double fit = stepped_match(cut, sighting, question.flutes);
    if (fit < 0.03) continue;
    cut.weight *= fit;
    guesses_.push_back(cut);
    keep_limits(cut, question.flutes);
  }
}

void Cloud::keep_limits(const FlexibleCut& cut, int flutes) {
  std::vector<double> depths(static_cast<std::size_t>(grid_.size), std::numeric_limits<double>::infinity());
  const double first_waves = cutting::waves_per_tooth(cut.first_mode_hz, grid_.fastest_rpm, flutes);
  LobeCurve curve;
  const auto slowness = [&](int i) { return sighting_.spindle_rpm / grid_.rpm(i); };
  for (int from = 0; from < grid_.size;) {
    int to = from + 1;
    const auto much_changed = [&](int i) {
      for (int m = 0; m < cut.mode_count; ++m) {
        const CutMode& mode = cut.modes[static_cast<std::size_t>(m)];
        if (cut.damping_at(mode, slowness(i)) > kDampingStep * cut.damping_at(mode, slowness(from))) return true;
      }
      return false;
    };
    while (to < grid_.size && !much_changed(to)) ++to;
    curve.sample(cut, std::sqrt(slowness(from) * slowness(to - 1)));
    curve.lower(depths, first_waves, SpeedGrid::kStep, from, to, kDeepEnough * cut.depth);
    from = to;
  }
  for (double& depth : depths) depth = std::min(kMostRoom, std::log(depth / cut.depth));
  log_room_.push_back(std::move(depths));
}

double Cloud::quiet_at(std::size_t guess, double spindle_rpm) const noexcept {
  return quiet(grid_.at(log_room_[guess], spindle_rpm));
}

double Cloud::stepped_match(const FlexibleCut& cut, const Sighting& sighting, int flutes) const {
  const ToothGrowth there = tooth_growth(cut, sighting.spindle_rpm, flutes);
  double fit = 1.0 - quiet_growing(there.log_growth);
  // The turn per tooth is the fraction of a wave, mirrored, whichever member of the family was the loudest.
  const double waves = cutting::waves_per_tooth(sighting.chatter_hz, sighting.spindle_rpm, flutes);
  const double turn = std::abs(waves - std::round(waves));
  const double miss = (turn - there.turn) / (kTurnSpreadPerWave * waves + kTurnSpread);
  fit *= 1.0 / (1.0 + miss * miss);
  if (sighting.growth_per_s && *sighting.growth_per_s > 0) {
    const double per_s = std::max(there.log_growth, 1e-4) * cutting::tooth_passing_hz(sighting.spindle_rpm, flutes);
    const double off = (std::log(per_s / *sighting.growth_per_s) - 0.2) / kGrowthSpread;
    fit *= 1.0 / (1.0 + off * off);
  }
  return fit;
}

double Cloud::guess_match(std::size_t guess, const Sighting& sighting, int flutes) const {
  const FlexibleCut& cut = guesses_[guess];
  LobeCurve curve;
  curve.sample(cut, sighting_.spindle_rpm / sighting.spindle_rpm);
  const auto limits = curve.limits_at(cutting::waves_per_tooth(cut.first_mode_hz, sighting.spindle_rpm, flutes));
  const double tooth_hz = cutting::tooth_passing_hz(sighting.spindle_rpm, flutes);
  double sum = 0;
  for (const Shift& shift : kShifts) {
    const double hz = line_hz(sighting.chatter_hz, tooth_hz, shift.teeth);
    if (!(hz > 1.0)) continue;
    const auto nearness = [&](const Crossing& limit) {
      if (!(limit.ratio > 0)) return 0.0;
      const double miss = (std::log(limit.ratio * cut.first_mode_hz / hz) + kLineBias) / kLineSpread;
      return std::exp(-0.5 * miss * miss);
    };
    sum += shift.share * (0.75 * nearness(limits[0]) + 0.25 * nearness(limits[1]));
  }
  return sum * stepped_match(cut, sighting, flutes);
}

double Cloud::match(const Sighting& sighting, int flutes) const {
  double sum = 0;
  double weights = 0;
  for (std::size_t i = 0; i < guesses_.size(); ++i) {
    weights += guesses_[i].weight;
    sum += guesses_[i].weight * guess_match(i, sighting, flutes);
  }
  return weights > 0 ? sum / weights : 0.0;
}

double Cloud::learn_chatter(const Sighting& sighting, int flutes) {
  constexpr double kFloor = 0.03;
  double sum = 0;
  double weights = 0;
  for (std::size_t i = 0; i < guesses_.size(); ++i) {
    const double fit = guess_match(i, sighting, flutes);
    weights += guesses_[i].weight;
    sum += guesses_[i].weight * fit;
    guesses_[i].weight *= fit + kFloor;
  }
  return weights > 0 ? sum / weights : 0.0;
}

void Cloud::learn_quiet(double spindle_rpm) {
  for (std::size_t i = 0; i < guesses_.size(); ++i) guesses_[i].weight *= quiet_at(i, spindle_rpm);
}

void Cloud::learn_loud(double spindle_rpm) {
  for (std::size_t i = 0; i < guesses_.size(); ++i) guesses_[i].weight *= 1.0 - quiet_at(i, spindle_rpm);
}

double Cloud::effective_size() const noexcept {
  double sum = 0;
  double squares = 0;
  for (const FlexibleCut& cut : guesses_) {
    sum += cut.weight;
    squares += cut.weight * cut.weight;
  }
  return squares > 0 ? sum * sum / squares : 0.0;
}

std::vector<Cloud::Pick> Cloud::picks(int count) const {
  double total = 0;
  for (const FlexibleCut& cut : guesses_) total += cut.weight;
  std::vector<Pick> picked;
  if (!(total > 0)) return picked;
  double summed = 0;
  int taken = 0;
  for (const FlexibleCut& cut : guesses_) {
    summed += cut.weight / total * count;
    int copies = 0;
    while (taken + 0.5 < summed) ++taken, ++copies;
    if (copies > 0) picked.push_back({&cut, static_cast<double>(copies)});
  }
  return picked;
}

double Cloud::stepped_quiet(const FlexibleCut& cut, double spindle_rpm, int flutes) const {
  return quiet_growing(tooth_growth(cut, spindle_rpm, flutes, 1.0, Wanted::sign).log_growth);
}

std::vector<double> Cloud::quiet_chance(double depth_factor) const {
  std::vector<double> chance(static_cast<std::size_t>(grid_.size), 0.0);
  const double log_factor = std::log(depth_factor);
  double weights = 0;
  for (std::size_t i = 0; i < guesses_.size(); ++i) {
    const double weight = guesses_[i].weight;
    if (!(weight > 0)) continue;
    weights += weight;
    for (std::size_t k = 0; k < chance.size(); ++k) chance[k] += weight * quiet(log_room_[i][k], log_factor);
  }
  if (weights > 0)
    for (double& c : chance) c /= weights;
  return chance;
}

}  // namespace hushmill::advise
