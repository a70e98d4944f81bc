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

void weigh_families(std::span<const NewLine> lines, const Comb& comb, double bin_hz, const FamilySettings& settings,
                    std::vector<FamilyVote>& votes) {
  votes.clear();
  if (lines.empty()) return;
  const double tooth_hz = comb.tooth_hz();
  const double weak_power = lines.front().power * std::pow(10.0, -settings.weak_below_strongest_db / 10.0);
  double all_power = 0;
  for (const auto& line : lines) all_power += line.power;

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

    vote.strongest_hz = founder.hz;
    vote.strongest_power = founder.power;
    vote.power = founder.power;
    vote.members = 1;
    double for_it = 0;
    double against = 0;
    for (const auto& line : lines) {
      if (&line == &founder) continue;
      const double tolerance = place_tolerance_hz(comb, line.hz, bin_hz);
      const double covered =
          std::min(0.7, (vote.period_doubling ? 1.0 : 2.0) * 2.0 * tolerance / tooth_hz);
      double weight = std::clamp((line.over_db - 8.0) / (settings.full_weight_db - 8.0), 0.2, 1.2);
      if (line.power < weak_power) weight *= 0.3;
      if (std::abs(comb.folded_hz(line.hz) - vote.offset_hz) <= tolerance) {
        vote.power += line.power;
        ++vote.members;
        for_it += weight * std::log(settings.member_given_chatter / covered);
      } else if (!line.half_order_only) {
        against += weight * std::log((1.0 - covered) / (1.0 - settings.member_given_chatter));
      }
    }
    vote.share = vote.power / all_power;
    vote.evidence = std::min(for_it, settings.most_for) - std::min(against, settings.most_against);
    votes.push_back(vote);
  }
  std::sort(votes.begin(), votes.end(), [](const FamilyVote& a, const FamilyVote& b) {
    return a.evidence != b.evidence ? a.evidence > b.evidence : a.strongest_power > b.strongest_power;
  });
}

}  // namespace hushmill::listen
