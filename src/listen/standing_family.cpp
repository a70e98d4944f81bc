#include "listen/standing_family.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr double kLeastOfARow = 1.5;    // nats
constexpr double kMostOfASeries = 1.5;  // of the evidence: a series of harmonics at a third of the spacing looks alike; …
constexpr double kLittleOfASeries = 0.7;
constexpr double kSeriesNats = 2;       // … from the second on that much more of it is asked for
constexpr int kStandsLeastMembers = 4;
constexpr double kStandsLeastShare = 0.8;     // of what stands beside the teeth
constexpr double kStandsFromHz = 150;
constexpr double kMainsBins = 0.35;
constexpr int kLeastMains = 4;  // lines
constexpr double kMostMains = 0.8;  // of what stands beside the teeth
}  // namespace

bool StandingFamily::process(std::span<const signal::Line> lines, const Comb& comb, double bin_hz) {
  if (!one_family(lines, comb, bin_hz)) {
    rows_ = 0;
    return false;
  }
  const double wanted = ambiguous_nats_ > kLittleOfASeries * nats_ ? kSeriesNats * settings_.least_nats : settings_.least_nats;
  return rows_ >= settings_.least_rows && nats_ >= wanted && ambiguous_nats_ <= kMostOfASeries * nats_;
}

// Of the power beside the teeth, the part on the family's places and on those of twice and three times the tone: chatter that has
// filled the sound has them as strong as itself.
double StandingFamily::share_with_doubles(double offset_hz, const Comb& comb, double bin_hz) const {
  const std::array<double, 3> places_hz{comb.folded_hz(offset_hz), comb.folded_hz(2 * offset_hz), comb.folded_hz(3 * offset_hz)};
  double all = 0, members = 0;
  for (std::size_t i = 0; i < beside_.size(); ++i) {
    all += beside_[i].power;
    const double within = bin_hz + comb.relative_uncertainty * beside_[i].hz;
    for (std::size_t times = 1; times <= places_hz.size(); ++times)
      if (std::abs(folded_hz_[i] - places_hz[times - 1]) <= static_cast<double>(times) * within) {
        members += beside_[i].power;
        break;
      }
  }
  return all > 0 ? members / all : 0;
}

// Nearly always no line that could found a family has enough on its places: the votes are then not asked for.
bool StandingFamily::any_share(const Comb& comb, double bin_hz) {
  folded_hz_.clear();
  for (const NewLine& line : beside_) folded_hz_.push_back(comb.folded_hz(line.hz));
  const std::size_t founders = std::min(FamilySettings{}.most_founders, beside_.size());
  return std::any_of(folded_hz_.begin(), folded_hz_.begin() + static_cast<std::ptrdiff_t>(founders),
                     [&](double offset_hz) { return share_with_doubles(offset_hz, comb, bin_hz) >= kStandsLeastShare; });
}

// The mains hum stands for ever, and where the teeth pass near a multiple of it, in one family with them.
bool StandingFamily::is_hum(double bin_hz) const {
  double all = 0, fifty = 0, sixty = 0;
  int of_fifty = 0, of_sixty = 0;  // one strong line may stand there by chance
  const auto on = [&](double hz, double mains_hz) { return std::abs(hz - std::round(hz / mains_hz) * mains_hz) < kMainsBins * bin_hz; };
  for (const NewLine& line : beside_) {
    all += line.power;
    if (on(line.hz, 50)) fifty += line.power, ++of_fifty;
    if (on(line.hz, 60)) sixty += line.power, ++of_sixty;
  }
  return std::max(fifty, sixty) > kMostMains * all && std::max(of_fifty, of_sixty) >= kLeastMains;
}

bool StandingFamily::one_family(std::span<const signal::Line> lines, const Comb& comb, double bin_hz) {
  beside_.clear();
  int teeth = 0;
  for (const auto& line : lines) {
    if (line.hz < kStandsFromHz) continue;
    if (comb.on_tooth(line.hz, bin_hz)) {
      ++teeth;
      continue;
    }
    const double tolerance = comb.rotation_tolerance_hz(line.hz, bin_hz);
    if (tolerance < 0.3 * comb.rotation_hz && comb.off_rotation_hz(line.hz) <= tolerance) continue;  // may be runout
    beside_.push_back({line.hz, line.power, 10.0 * std::log10(std::max(line.over, 1e-9)), false});
  }
  if (teeth < settings_.least_teeth || is_hum(bin_hz) || !any_share(comb, bin_hz)) return false;
  weigh_families(beside_, comb, bin_hz, {}, votes_);
  const FamilyVote* found = nullptr;
  for (const FamilyVote& vote : votes_)
    if (vote.evidence >= kLeastOfARow && vote.own_members >= kStandsLeastMembers && !vote.rich && share_with_doubles(vote.offset_hz, comb, bin_hz) >= kStandsLeastShare &&
        (found == nullptr || vote.strongest_power > found->strongest_power))
      found = &vote;
  if (found == nullptr) return false;
  const FamilyVote& best = *found;
  if (rows_ > 0 && std::abs(best.offset_hz - offset_hz_) > 2 * bin_hz) rows_ = 0;
  if (rows_ == 0) nats_ = ambiguous_nats_ = 0;
  offset_hz_ = best.offset_hz;
  nats_ += best.evidence;
  ambiguous_nats_ += best.ambiguous_nats;
  ++rows_;
  return true;
}

}  // namespace hushmill::listen
