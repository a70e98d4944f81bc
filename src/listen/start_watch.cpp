#include "listen/start_watch.hpp"

#include <algorithm>
#include <cmath>

namespace hushmill::listen {

namespace {
constexpr double kStartS = 2.5;       // a row that has found no speed by then will not do
constexpr int kLeastRows = 6;         // in a row
constexpr double kLeastEvidence = 25;  // nats, over all of them
constexpr double kLeastOfARow = 1.5;
constexpr double kMostAmbiguous = 0.7;  // of the evidence: a series of harmonics at a third of the spacing looks alike
constexpr int kLeastMembers = 4;
constexpr int kLeastOwn = 4;
constexpr double kLeastShare = 0.8;   // of what stands beside the teeth
constexpr int kLeastTeeth = 3;        // multiples that stand clear
constexpr double kLowestHz = 150;
}  // namespace

void StartWatch::expect(double spindle_rpm, int flutes) noexcept {
  speed_.expect(spindle_rpm, flutes);
  rows_ = 0;
}

bool StartWatch::process(std::span<const signal::Line> lines, double bin_hz, double past_s) {
  if (over_) return false;
  if (past_s > kStartS) {
    over_ = true;
    return false;
  }
  speed_.process(lines, bin_hz, false);
  if (!speed_.measured() || !sings(lines, bin_hz)) rows_ = 0;
  over_ = rows_ >= kLeastRows && evidence_ >= kLeastEvidence && ambiguous_ <= kMostAmbiguous * evidence_;
  return over_;
}

bool StartWatch::sings(std::span<const signal::Line> lines, double bin_hz) {
  const Comb comb{speed_.rotation_hz(), speed_.flutes(), speed_.relative_uncertainty(), true, true};
  beside_.clear();
  int teeth = 0;
  for (const auto& line : lines) {
    if (line.hz < kLowestHz) continue;
    if (comb.on_tooth(line.hz, bin_hz)) {
      ++teeth;
      continue;
    }
    const double tolerance = comb.rotation_tolerance_hz(line.hz, bin_hz);
    if (tolerance < 0.3 * comb.rotation_hz && comb.off_rotation_hz(line.hz) <= tolerance) continue;  // may be runout
    beside_.push_back({line.hz, line.power, 10.0 * std::log10(std::max(line.over, 1e-9)), false});
  }
  weigh_families(beside_, comb, bin_hz, {}, votes_);
  if (teeth < kLeastTeeth || votes_.empty()) return false;
  const FamilyVote& best = votes_.front();
  if (best.evidence < kLeastOfARow || best.members < kLeastMembers || best.own_members < kLeastOwn || best.share < kLeastShare || best.rich) return false;
  if (rows_ > 0 && std::abs(best.offset_hz - offset_hz_) > 2 * bin_hz) rows_ = 0;
  if (rows_ == 0) evidence_ = ambiguous_ = 0;
  offset_hz_ = best.offset_hz;
  evidence_ += best.evidence;
  ambiguous_ += best.ambiguous_nats;
  ++rows_;
  return true;
}

}  // namespace hushmill::listen
