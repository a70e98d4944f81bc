#include "listen/family.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace hushmill::listen {

namespace {
constexpr std::size_t kSeriesFounders = 4;
constexpr int kMostRivalOrder = 8;
constexpr double kLeastRivalHz = 45;
constexpr double kMostCombOrders = 5.5;  // a place at a half, a third, a quarter or a fifth of the spacing, no finer
constexpr double kAmbiguousBins = 0.4;
constexpr double kHalfToothBins = 0.15;  // a base this near to half the tooth frequency is period doubling
constexpr int kLeastSeries = 4;          // lines from which a series of others explains what is new
constexpr double kSeriesShare = 0.6;     // and this much of the power
constexpr int kSeriesOrders = 40;
constexpr int kMostGap = 5;
constexpr float kPlainDb = 15;
constexpr double kMissingNats = 0.8;
constexpr std::size_t kFamilyMostLines = 64;  // one bit each
constexpr double kFreeBelowDb = 16;           // from here down a line says less against a founder,
constexpr double kFadeDb = 20;                // over this much
constexpr double kLeastAgainst = 0.2;
constexpr double kHarmonicsToll = 1.0;  // nats: chatter with strong harmonics is the rarer kind
constexpr double kCombinationGivenChatter = 0.5;
constexpr int kFullFamily = 3;  // members from which a second family excuses its lines
constexpr double kPlacedBins = 0.15;    // standard deviation of where a line is found
constexpr double kPlacedShare = 0.6;    // of all that is new: knocks ring at several places at once

// How far off its place a member may stand: a little more than a tooth line, since chatter is modulated.
double place_tolerance_hz(const Comb& comb, double hz, double bin_hz) noexcept {
  return 0.8 * bin_hz + comb.relative_uncertainty * hz;
}

// On a place of |2 f_c + k·f_tooth| or |3 f_c + k·f_tooth|.
bool on_combination(double hz, double offset_hz, double tolerance_hz, const Comb& comb) noexcept {
  const double folded = comb.folded_hz(hz);
  return std::abs(folded - comb.folded_hz(2 * offset_hz)) <= tolerance_hz ||
         std::abs(folded - comb.folded_hz(3 * offset_hz)) <= tolerance_hz;
}

// The same lines as harmonics of one tone, founder / k, as speech, music and pumps have.
struct Rival {
  double nats = 0;            // for the best k; 0: none is better than chance
  std::uint64_t lines = 0;    // those on its series
  double ambiguous_nats = 0;  // the same of a series that also is a family, at a simple fraction of the spacing
};

// Harmonics that are not there although the next ones on both sides are plain: a voice, a pump or a string has them, a
// family has gaps. Where a tooth stands nothing is known; and some instruments have odd harmonics only.
int missing_harmonics(std::span<const float> over_db, double base_hz, const Comb& comb, double bin_hz) {
  int missing = 0;
  int last = 0;  // the last harmonic that is there
  bool odd_only = true;
  int even = 0;
  for (int n = 1; n < static_cast<int>(over_db.size()); ++n) {
    if (over_db[static_cast<std::size_t>(n)] <= 0) continue;
    odd_only = odd_only && n % 2 == 1;
    const bool plain =
        last > 0 && n - last <= kMostGap &&
        std::min(over_db[static_cast<std::size_t>(last)], over_db[static_cast<std::size_t>(n)]) > kPlainDb;
    for (int gap = last + 1; plain && gap < n; ++gap) {
      if (comb.on_tooth(gap * base_hz, bin_hz)) continue;
      ++missing;
      if (gap % 2 == 0) ++even;
    }
    last = n;
  }
  return odd_only ? missing - even : missing;
}

// A line beside the harmonics of a base that was found as the `k`-th harmonic of one.
struct BesideSeries {
  double nearest = 1;  // order of the nearest harmonic
  double covered = 0;  // part of all places that would count as on the series
  bool on = false;
};

BesideSeries beside_series(double hz, double base_hz, int k, double bin_hz) noexcept {
  BesideSeries line;
  const double orders = hz / base_hz;
  line.nearest = std::max(1.0, std::floor(orders + 0.5));
  // The founder is known to a fraction of a bin; its multiples that much worse.
  const double tolerance = std::min(0.3 * base_hz, 0.4 * bin_hz + 0.1 * bin_hz * line.nearest / k);
  line.covered = std::min(0.7, 2.0 * tolerance / base_hz);
  line.on = std::abs(orders - line.nearest) * base_hz <= tolerance;
  return line;
}

Rival weigh_harmonic_series(std::span<const NewLine> lines, std::size_t founder, std::span<const double> weights,
                            const Comb& comb, double bin_hz, const FamilySettings& settings) {
  Rival best;
  std::array<BesideSeries, kFamilyMostLines> places;
  for (int k = 1; k <= kMostRivalOrder; ++k) {
    const double base_hz = lines[founder].hz / k;
    if (base_hz < kLeastRivalHz) break;
    // A family whose place is near a half, a third, a quarter or a fifth of the spacing looks like such a series: period doubling is
    // one, of half the tooth frequency. A series that holds the tooth comb is no rival of its own.
    const double fits = comb.tooth_hz() / base_hz;
    const auto fits_as = [&](double whole) { return std::abs(fits - whole) * base_hz < kAmbiguousBins * bin_hz; };
    const double halves = base_hz / (0.5 * comb.tooth_hz());
    const bool holds_teeth = std::abs(halves - std::nearbyint(halves)) * 0.5 * comb.tooth_hz() <
                             kHalfToothBins * bin_hz + comb.relative_uncertainty * base_hz;
    if (holds_teeth && std::nearbyint(halves) != 1) continue;
    const bool ambiguous =
        holds_teeth || (fits > 1.5 && fits < kMostCombOrders && fits_as(std::nearbyint(fits)));
    Rival rival;
    std::array<float, kSeriesOrders + 1> over_db{};  // of the line on each of its harmonics; 0: none
    over_db[static_cast<std::size_t>(k)] = static_cast<float>(lines[founder].over_db);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (i == founder) continue;
      places[i] = beside_series(lines[i].hz, base_hz, k, bin_hz);
      if (places[i].on) rival.nats += weights[i] * std::log(settings.member_given_chatter / places[i].covered);
    }
    // Most bases have few lines or none: what speaks against them need not be reckoned.
    if (rival.nats <= (ambiguous ? best.ambiguous_nats : best.nats)) continue;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (i == founder) continue;
      if (!places[i].on) {
        rival.nats -= weights[i] * std::log((1.0 - places[i].covered) / (1.0 - settings.member_given_chatter));
        continue;
      }
      rival.lines |= std::uint64_t{1} << i;
      if (places[i].nearest > kSeriesOrders) continue;
      auto& over = over_db[static_cast<std::size_t>(places[i].nearest)];
      over = std::max(over, static_cast<float>(lines[i].over_db));
    }
    rival.nats -= kMissingNats * missing_harmonics(over_db, base_hz, comb, bin_hz);
    if (ambiguous) {
      best.ambiguous_nats = std::max(best.ambiguous_nats, rival.nats);
    } else if (rival.nats > best.nats) {
      best.nats = rival.nats;
      best.lines = rival.lines;
    }
  }
  best.nats = std::min(best.nats, settings.most_for);
  return best;
}

// How much likelier it is to find a lone line this near to half the tooth spacing when period doubles than anywhere: a normal
// density over a uniform one.
double half_way_nats(double off_hz, double hz, const Comb& comb, double bin_hz, const FamilySettings& settings) {
  const double spread_hz = kPlacedBins * bin_hz + comb.relative_uncertainty * hz;
  const double off = off_hz / spread_hz;
  const double ratio = settings.member_given_chatter * comb.tooth_hz() / (std::sqrt(2 * std::numbers::pi) * spread_hz);
  return std::clamp(std::log(ratio) - 0.5 * off * off, 0.0, settings.most_of_place);
}

// A founder, the lines on its places, and what it is worth before others are heard.
struct Family {
  std::size_t founder = 0;
  double offset_hz = 0;
  bool period_doubling = false;
  std::uint64_t members = 0;  // the founder included
};

std::vector<Family> find_families(std::span<const NewLine> lines, const Comb& comb, double bin_hz,
                                  std::size_t most_founders) {
  std::vector<Family> families;
  const double tooth_hz = comb.tooth_hz();
  for (std::size_t f = 0; f < std::min(most_founders, lines.size()); ++f) {
    Family family;
    family.founder = f;
    family.offset_hz = comb.folded_hz(lines[f].hz);
    const double tolerance = place_tolerance_hz(comb, lines[f].hz, bin_hz);
    family.period_doubling = 0.5 * tooth_hz - family.offset_hz < tolerance;
    if (lines[f].half_order_only && !family.period_doubling) continue;
    const bool known = std::any_of(families.begin(), families.end(), [&](const Family& other) {
      return std::abs(other.offset_hz - family.offset_hz) < tolerance;
    });
    if (known) continue;
    for (std::size_t i = 0; i < lines.size(); ++i)
      if (i == f ||
          std::abs(comb.folded_hz(lines[i].hz) - family.offset_hz) <= place_tolerance_hz(comb, lines[i].hz, bin_hz))
        family.members |= std::uint64_t{1} << i;
    families.push_back(family);
  }
  return families;
}
}  // namespace

void weigh_families(std::span<const NewLine> all_lines, const Comb& comb, double bin_hz, const FamilySettings& settings,
                    std::vector<FamilyVote>& votes) {
  votes.clear();
  if (all_lines.empty()) return;
  const auto lines = all_lines.first(std::min(kFamilyMostLines, all_lines.size()));
  const double tooth_hz = comb.tooth_hz();
  const double weak_power = lines.front().power * std::pow(10.0, -settings.weak_below_strongest_db / 10.0);
  const double rich_ratio = std::pow(10.0, -settings.rich_below_db / 10.0);
  const double combination_ratio = std::pow(10.0, -settings.combination_below_db / 10.0);
  double all_power = 0;
  std::vector<double> weights(lines.size());
  std::vector<double> levels_db(lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i) {
    all_power += lines[i].power;
    levels_db[i] = 10.0 * std::log10(lines[i].power);
    weights[i] = std::clamp((lines[i].over_db - 8.0) / (settings.full_weight_db - 8.0), 0.2, 1.2);
    if (lines[i].power < weak_power) weights[i] *= 0.3;
  }

  // What a line says as a member of a family and as a stranger to it; period doubling has half as many places.
  struct Nats {
    std::array<double, 2> member{};
    std::array<double, 2> stranger{};
    double combination = 0;
  };
  std::vector<Nats> nats(lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const double tolerance = place_tolerance_hz(comb, lines[i].hz, bin_hz);
    nats[i].combination = std::log(kCombinationGivenChatter / std::min(0.9, 8.0 * tolerance / tooth_hz));
    for (const std::size_t doubling : {0U, 1U}) {
      const double covered = std::min(0.7, (doubling == 1 ? 1.0 : 2.0) * 2.0 * tolerance / tooth_hz);
      nats[i].member[doubling] = std::log(settings.member_given_chatter / covered);
      nats[i].stranger[doubling] = std::log((1.0 - covered) / (1.0 - settings.member_given_chatter));
    }
  }

  // One series of harmonics, whoever founds it, may explain most of what is new: a neighbour's machine, a voice, the
  // mains.
  std::array<Rival, kSeriesFounders> rivals;
  Rival series;
  for (std::size_t f = 0; f < std::min<std::size_t>(kSeriesFounders, lines.size()); ++f) {
    rivals[f] = weigh_harmonic_series(lines, f, weights, comb, bin_hz, settings);
    Rival found = rivals[f];
    if (found.nats <= series.nats) continue;
    found.lines |= std::uint64_t{1} << f;
    series = found;
  }
  double series_power = 0;
  for (std::size_t i = 0; i < lines.size(); ++i)
    if ((series.lines >> i & 1U) != 0) series_power += lines[i].power;
  const bool explained = std::popcount(series.lines) >= kLeastSeries && series_power > kSeriesShare * all_power;

  const auto families = find_families(lines, comb, bin_hz, settings.most_founders);
  for (const auto& family : families) {
    const auto& founder = lines[family.founder];
    const Rival rival = family.founder < kSeriesFounders
                            ? rivals[family.founder]
                            : weigh_harmonic_series(lines, family.founder, weights, comb, bin_hz, settings);
    // Lines of another full family speak for a second chatter, not against this one.
    std::uint64_t excused = rival.lines;
    for (const auto& other : families)
      if (&other != &family && std::popcount(other.members) >= kFullFamily) excused |= other.members;

    FamilyVote vote;
    vote.offset_hz = family.offset_hz;
    vote.period_doubling = family.period_doubling;
    vote.strongest_hz = founder.hz;
    vote.strongest_power = founder.power;
    const double rich_power = founder.power * rich_ratio;
    for (std::size_t i = 0; i < lines.size(); ++i)
      if ((rival.lines >> i & 1U) != 0 && (family.members >> i & 1U) == 0 && lines[i].power > rich_power)
        vote.rich = true;
    const double combination_power = founder.power * combination_ratio;
    // A note that sounds along is no member, though some of its harmonics stand on the family's places.
    const bool of_others = std::popcount(series.lines) >= kLeastSeries && (series.lines >> family.founder & 1U) == 0;
    double for_it = 0;
    double against = 0;
    double against_if_loud = 0;  // chatter that has itself doubled its period is weaker than its double
    double beside_series = 0;    // what the lines say that the rival leaves unexplained
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const auto& line = lines[i];
      const std::uint64_t bit = std::uint64_t{1} << i;
      const std::size_t doubling = vote.period_doubling ? 1 : 0;
      const double tolerance = place_tolerance_hz(comb, line.hz, bin_hz);
      const bool of_rival = (rival.lines & bit) != 0;
      if ((family.members & bit) != 0) {
        vote.power += line.power;
        ++vote.members;
        if (i == family.founder) {
          ++vote.own_members;
          continue;
        }
        if (!of_rival) ++vote.own_members;
        const double says = weights[i] * nats[i].member[doubling];
        if (of_others && (series.lines & bit) != 0) continue;
        for_it += says;
        if (!of_rival) beside_series += says;
        continue;
      }
      if ((excused & bit) != 0 || line.half_order_only) continue;
      // Saturated chatter has families at 2 f_c and 3 f_c too: they speak neither way, unless harmonics are left out of
      // account.
      const bool combination = on_combination(line.hz, vote.offset_hz, tolerance, comb);
      if (combination) beside_series += weights[i] * std::max(0.0, nats[i].combination);
      if (combination && line.power < combination_power) continue;
      // Strong chatter drags a tail of mixtures along; what is far below the founder says little against it.
      const double below_db = levels_db[family.founder] - levels_db[i];
      const double heard = std::clamp(1.0 - (below_db - kFreeBelowDb) / kFadeDb, kLeastAgainst, 1.0);
      const double says = heard * weights[i] * nats[i].stranger[doubling];
      against += says;
      if (!combination) against_if_loud += says;
    }
    vote.share = vote.power / all_power;
    if (vote.period_doubling && vote.members == 1 && !vote.rich && vote.share > kPlacedShare)
      vote.place_nats = half_way_nats(0.5 * tooth_hz - vote.offset_hz, founder.hz, comb, bin_hz, settings);
    for_it += vote.place_nats;
    against = std::min(against, settings.most_against);
    vote.evidence = std::min(for_it, settings.most_for) - against;
    if (vote.evidence > 0) vote.evidence -= explained ? std::max(rival.nats, series.nats) : rival.nats;
    vote.ambiguous_nats = rival.ambiguous_nats;
    // Loud chatter has harmonics too, but no foreign tone beats with the teeth: with its harmonics granted to both,
    // what stands beside them decides.
    vote.evidence_if_loud = vote.evidence;
    if (rival.lines != 0)
      vote.evidence_if_loud =
          std::max(vote.evidence, std::min(beside_series, settings.most_for) -
                                      std::min(against_if_loud, settings.most_against) - kHarmonicsToll);
    votes.push_back(vote);
  }
  std::sort(votes.begin(), votes.end(), [](const FamilyVote& a, const FamilyVote& b) {
    return a.evidence != b.evidence ? a.evidence > b.evidence : a.strongest_power > b.strongest_power;
  });
}

}  // namespace hushmill::listen
