#include "advise/anchor.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace hushmill::advise {

namespace {

using Complex = std::complex<double>;

constexpr double kSteepest = 4;  // bound of the change of natural with heard frequency

double fraction(double x) noexcept { return x - std::floor(x); }

// Which of the crossings with the heard phase it is, by how close it is to being the one that limits the depth.
double standing(double depth, double lowest_depth) noexcept {
  if (depth <= 1.02 * lowest_depth) return 1.0;
  return depth <= 2.0 * lowest_depth ? 0.25 : 0.0;
}

// Damping that rubbing adds to a mode, per depth; goes with 1 / speed.
double rubbing_per_depth(const FlexibleCut& cut, const CutMode& mode, double spindle_rpm) noexcept {
  const double surface_mm_s = std::numbers::pi * cut.diameter_mm * spindle_rpm / 60.0;
  const double factor = std::max(0.0, mode.along_feed ? cut.rub_x : cut.rub_y);
  const double omega = 2.0 * std::numbers::pi * mode.ratio * cut.first_mode_hz;
  return 0.5 * factor * mode.compliance * omega * cut.rub_length_mm / surface_mm_s;
}

// Sets process damping for the depth; returns the largest relative change of a mode's damping.
double update_rubbing(FlexibleCut& cut, double spindle_rpm) noexcept {
  double change = 0;
  for (std::size_t i = 0; i < static_cast<std::size_t>(cut.mode_count); ++i) {
    CutMode& mode = cut.modes[i];
    const double now = cut.depth * rubbing_per_depth(cut, mode, spindle_rpm);
    change = std::max(change, std::abs(now - mode.rubbing) / (mode.damping + mode.rubbing));
    mode.rubbing = now;
  }
  return change;
}

// The depth limit goes with the damping, of which a part goes with the depth: limit = bare / (1 - share), where share
// is what rubbing adds to the limit at the bare limit. First it is taken from the damping of the two main modes, then
// from the limit found with rubbing set for the last depth.
double rubbing_share(const FlexibleCut& cut, double spindle_rpm, double bare, double lowest, int round) noexcept {
  if (round > 0) return cut.depth > 0 ? (lowest - bare) / cut.depth : 0.0;
  double share = 0;
  for (std::size_t i = 0; i < 2; ++i)
    share += 0.5 * bare * rubbing_per_depth(cut, cut.modes[i], spindle_rpm) / cut.modes[i].damping;
  return share;
}

constexpr double kMostShare = 0.95;  // with more rubbing nothing chatters at this speed

}  // namespace

std::optional<Complex> unstable_root(const FlexibleCut& cut, const Crossing& crossing, double depth,
                                     double waves_of_first) noexcept {
  const double period = 2.0 * std::numbers::pi * waves_of_first;  // in units of 1 / first mode's angular frequency
  Complex s{0.0, crossing.ratio};
  const auto excess = [&](Complex at, double deep, Complex near) {
    const EigenPair pair = cut.eigenvalues(at, 1.0);
    const Complex e = std::norm(pair[0] - near) < std::norm(pair[1] - near) ? pair[0] : pair[1];
    return std::pair<Complex, Complex>{deep * (1.0 - std::exp(-at * period)) * e - 1.0, e};
  };
  // The branch that limits here has 2 depth Re e = 1.
  const EigenPair start = cut.eigenvalues(s, 1.0);
  Complex e =
      std::abs(2.0 * crossing.depth * start[0].real() - 1.0) < std::abs(2.0 * crossing.depth * start[1].real() - 1.0)
          ? start[0]
          : start[1];
  constexpr int kStages = 4;
  for (int stage = 1; stage <= kStages; ++stage) {
    const double deep = crossing.depth * std::pow(depth / crossing.depth, static_cast<double>(stage) / kStages);
    for (int i = 0; i < 3; ++i) {
      const auto [value, branch] = excess(s, deep, e);
      const Complex nudge{0.0, 1e-6 * crossing.ratio};
      const Complex slope = (excess(s + nudge, deep, branch).first - value) / nudge;
      e = branch;
      if (std::norm(slope) < 1e-30) return std::nullopt;
      const Complex move = value / slope;
      s -= move;
      if (std::norm(move) < 1e-14) break;
    }
  }
  const bool sane = std::isfinite(s.real()) && std::isfinite(s.imag()) &&
                    std::abs(s.imag() / crossing.ratio - 1.0) < 0.25 && s.real() > 0 && s.real() < crossing.ratio;
  if (!sane) return std::nullopt;
  return s;
}

bool anchor(FlexibleCut& cut, LobeCurve& curve, const Sighting& sighting, double chatter_hz, int flutes) {
  constexpr int kRounds = 5;
  const double tooth_s = 60.0 / (sighting.spindle_rpm * flutes);
  // Two things are found by repeating. Saturated chatter stands at the frequency of the unstable root, a little off the
  // crossing of the lobes; and process damping raises the limit of which the depth is a multiple.
  double target_hz = chatter_hz;
  bool resample = true;
  double bare = 0;  // lowest limit without rubbing
  for (int round = 0; round < kRounds; ++round) {
    if (resample) curve.sample(cut, 1.0);
    const double waves = target_hz * tooth_s;
    const std::vector<Crossing> places = curve.at_phase(fraction(waves));
    bool placed = false;
    for (std::size_t i = 0; i < std::min<std::size_t>(places.size(), 3) && !placed; ++i) {
      const Crossing& here = places[i];
      cut.first_mode_hz = target_hz / here.ratio;
      const double lowest = curve.limits_at(cut.first_mode_hz * tooth_s)[0].depth;
      const double share = standing(here.depth, lowest);
      if (share == 0) continue;
      if (round == 0) bare = lowest;
      const double rubbing = std::max(0.0, rubbing_share(cut, sighting.spindle_rpm, bare, lowest, round));
      if (rubbing > kMostShare) continue;
      const double depth = cut.overload * bare / (1 - rubbing);
      if (round > 0 && depth <= here.depth) continue;
      placed = true;
      const double turn = here.phase_slope - waves;
      cut.weight = share * std::min(std::abs(here.phase_slope) > 1e-9 ? std::abs(turn / here.phase_slope) : kSteepest,
                                    kSteepest);
      cut.depth = depth;
      const double saturated = here.depth * std::pow(std::max(1.0, cut.depth / here.depth), 0.8);
      const auto root = unstable_root(cut, here, saturated, cut.first_mode_hz * tooth_s);
      if (root) target_hz = chatter_hz * here.ratio / root->imag();
    }
    if (!placed) return false;
    const double change = update_rubbing(cut, sighting.spindle_rpm);
    resample = change > 0.02;
    if (round >= 2 && !resample) break;
    if (round + 1 == kRounds && !(change < 0.3)) return false;
  }
  return cut.weight > 0;
}

}  // namespace hushmill::advise
