#include "listen/family.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
// How far off its place a member may stand: a little more than a tooth line, since chatter is modulated.
double place_tolerance_hz(const Comb& comb, double hz, double bin_hz) noexcept {
  return 0.8 * bin_hz + comb.relative_uncertainty * hz;
}
}  // namespace

namespace {
// On a place of |2 f_c + k·f_tooth| or |3 f_c + k·f_tooth|.
bool on_combination(double hz, double offset_hz, double tolerance_hz, const Comb& comb) noexcept {
  const double folded = comb.folded_hz(hz);
  return std::abs(folded - comb.folded_hz(2 * offset_hz)) <= tolerance_hz ||
         std::abs(folded - comb.folded_hz(3 * offset_hz)) <= tolerance_hz;
}

constexpr int kMostRivalOrder = 8;
constexpr double kLeastRivalHz = 60;

// The rival: the same lines as harmonics of one tone, founder / k, as speech, music and pumps have. Nats for the best k.
double weigh_harmonic_series(std::span<const NewLine> lines, const NewLine& founder, std::span<const double> weights,
                             const Comb& comb, double bin_hz, const FamilySettings& settings) {
  double best = 0;
  for (int k = 1; k <= kMostRivalOrder; ++k) {
    const double base_hz = founder.hz / k;
    if (base_hz < kLeastRivalHz) break;
    // Period doubling is itself a harmonic series, of half the tooth frequency.
    const double halves = base_hz / (0.5 * comb.tooth_hz());
    if (std::abs(halves - std::nearbyint(halves)) * 0.5 * comb.tooth_hz() < bin_hz) continue;
    double sum = 0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (&lines[i] == &founder) continue;
      const double orders = lines[i].hz / base_hz;
      const double nearest = std::max(1.0, std::nearbyint(orders));
      // The founder is known to a fraction of a bin; its multiples that much worse.
      const double tolerance = std::min(0.3 * base_hz, 0.6 * bin_hz + 0.15 * bin_hz * nearest / k);
      const double covered = std::min(0.7, 2.0 * tolerance / base_hz);
      if (std::abs(orders - nearest) * base_hz <= tolerance)
        sum += weights[i] * std::log(settings.member_given_chatter / covered);
      else
        sum -= weights[i] * std::log((1.0 - covered) / (1.0 - settings.member_given_chatter));
    }
    best = std::max(best, sum);
  }
  return std::min(best, settings.most_for);
}
}  // namespace

void weigh_families(std::span<const NewLine> lines, const Comb& comb, double bin_hz, const FamilySettings& settings,
                    std::vector<FamilyVote>& votes) {
  votes.clear();
  if (lines.empty()) return;
  const double tooth_hz = comb.tooth_hz();
  const double weak_power = lines.front().power * std::pow(10.0, -settings.weak_below_strongest_db / 10.0);
  double all_power = 0;
  for (const auto& line : lines) all_power += line.power;

  std::vector<double> weights(lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i) {
    weights[i] = std::clamp((lines[i].over_db - 8.0) / (settings.full_weight_db - 8.0), 0.2, 1.2);
    if (lines[i].power < weak_power) weights[i] *= 0.3;
  }

  for (const auto& founder : lines.first(std::min(settings.most_founders, lines.size()))) {
    FamilyVote vote;
    vote.offset_hz = comb.folded_hz(founder.hz);
    const double founder_tolerance = place_tolerance_hz(comb, founder.hz, bin_hz);
    vote.period_doubling = 0.5 * tooth_hz - vote.offset_hz < founder_tolerance;
    if (founder.half_order_only && !vote.period_doubling) continue;
    const bool known = std::any_of(votes.begin(), votes.end(), [&](const FamilyVote& other) {
      return std::abs(other.offset_hz - vote.offset_hz) < founder_tolerance;
    });
    if (known) continue;

    const double combination_power = founder.power * std::pow(10.0, -settings.combination_below_db / 10.0);
    vote.strongest_hz = founder.hz;
    vote.strongest_power = founder.power;
    vote.power = founder.power;
    vote.members = 1;
    double for_it = 0;
    double against = 0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const auto& line = lines[i];
      if (&line == &founder) continue;
      const double tolerance = place_tolerance_hz(comb, line.hz, bin_hz);
      const double covered =
          std::min(0.7, (vote.period_doubling ? 1.0 : 2.0) * 2.0 * tolerance / tooth_hz);
      if (std::abs(comb.folded_hz(line.hz) - vote.offset_hz) <= tolerance) {
        vote.power += line.power;
        ++vote.members;
        for_it += weights[i] * std::log(settings.member_given_chatter / covered);
      } else if (line.power < combination_power && on_combination(line.hz, vote.offset_hz, tolerance, comb)) {
        continue;  // saturated chatter has families at 2 f_c and 3 f_c too: they speak neither way
      } else if (!line.half_order_only) {
        against += weights[i] * std::log((1.0 - covered) / (1.0 - settings.member_given_chatter));
      }
    }
    vote.share = vote.power / all_power;
    vote.evidence = std::min(for_it, settings.most_for) - std::min(against, settings.most_against);
    if (vote.evidence > 0) vote.evidence -= weigh_harmonic_series(lines, founder, weights, comb, bin_hz, settings);
    votes.push_back(vote);
  }
  std::sort(votes.begin(), votes.end(), [](const FamilyVote& a, const FamilyVote& b) {
    return a.evidence != b.evidence ? a.evidence > b.evidence : a.strongest_power > b.strongest_power;
  });
}

}  // namespace hushmill::listen
