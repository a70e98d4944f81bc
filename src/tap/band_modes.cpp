#include "tap/band_modes.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tap/subspace.hpp"

namespace hushmill::tap {

namespace {
constexpr std::size_t kMostPoles = 8;
constexpr Eigen::Index kLongestSequence = 96;
constexpr double kEdgeShare = 0.15;
constexpr int kBandSteps = 40;

// Candidates from the band turned back into time: one complex sample for each bin, with softened edges.
void add_subspace_candidates(const BandData& data, std::vector<Pole>& candidates) {
  const Eigen::Index bins = data.bins.rows();
  const Eigen::Index length = std::min(bins, kLongestSequence);
  constexpr Eigen::Index kSkipped = 2;  // the softened edges ring before and after
  if (length < 12) return;
  Eigen::MatrixXcd back(length - kSkipped, bins);
  for (Eigen::Index k = 0; k < bins; ++k) {
    const double edge = std::min(1.0, (0.5 + static_cast<double>(std::min(k, bins - 1 - k))) / (kEdgeShare * static_cast<double>(bins)));
    const double soft = 0.5 - 0.5 * std::cos(std::numbers::pi * edge);
    for (Eigen::Index t = kSkipped; t < length; ++t)
      back(t - kSkipped, k) = std::polar(soft, 2 * std::numbers::pi * static_cast<double>(k * t % bins) / static_cast<double>(bins));
  }
  const double step_s = data.ring_s() / static_cast<double>(bins);
  for (const auto& order : subspace_poles(back * data.bins, {2, 4, 6, 8, 10}))
    for (const auto z : order) {
      if (std::abs(z) < 1e-3) continue;
      double angle = std::arg(z);
      if (angle < 0) angle += 2 * std::numbers::pi;
      const Pole pole{std::log(std::abs(z)) / step_s, data.from_rad_s() + angle / step_s};
      if (pole.real() < 0 && pole.real() > -0.2 * pole.imag()) candidates.push_back(pole);
    }
}

void add_grid_candidates(const BandData& data, std::vector<Pole>& candidates) {
  for (double decay = 0.4 * data.bin_rad_s(); decay < 0.15 * data.from_rad_s(); decay *= 2.5)
    for (double w = data.from_rad_s(); w <= data.to_rad_s(); w += std::max(data.bin_rad_s(), 0.7 * decay)) candidates.push_back({-decay, w});
}

bool worse_without(const RingFit& fit, const BandData& data, std::size_t pole, RingFit& without) {
  auto others = fit.poles();
  others.erase(others.begin() + static_cast<std::ptrdiff_t>(pole));
  without = RingFit(data, kSmoothTerms);
  without.set_poles(others);
  without.improve(kBandSteps);
  return without.criterion() > fit.criterion();
}
}  // namespace

std::vector<Pole> band_poles(const BandData& data) {
  std::vector<Pole> candidates;
  add_subspace_candidates(data, candidates);
  add_grid_candidates(data, candidates);
  RingFit best(data, kSmoothTerms);
  Eigen::MatrixXcd columns(data.bins.rows(), static_cast<Eigen::Index>(candidates.size()));
  for (std::size_t c = 0; c < candidates.size(); ++c) columns.col(static_cast<Eigen::Index>(c)) = best.column(candidates[c]);
  while (best.poles().size() < kMostPoles && static_cast<Eigen::Index>(best.poles().size()) + kSmoothTerms + 3 < data.bins.rows()) {
    // The three most promising that are not the same place are tried in earnest.
    std::vector<std::pair<double, Pole>> ranked;
    const Eigen::VectorXd gains = best.gains_of(columns);
    for (std::size_t c = 0; c < candidates.size(); ++c) ranked.emplace_back(gains[static_cast<Eigen::Index>(c)], candidates[c]);
    std::sort(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<Pole> tried;
    RingFit next = best;
    for (const auto& candidate : ranked) {
      const Pole pole = candidate.second;
      if (tried.size() == 3) break;
      if (std::any_of(tried.begin(), tried.end(), [&](Pole other) { return std::abs(other - pole) < 2 * data.bin_rad_s() + std::abs(pole.real()); })) continue;
      tried.push_back(pole);
      RingFit trial(data, kSmoothTerms);
      auto poles = best.poles();
      poles.push_back(pole);
      trial.set_poles(poles);
      trial.improve(kBandSteps);
      if (trial.criterion() < next.criterion()) next = trial;
    }
    if (next.poles().size() == best.poles().size()) break;
    best = next;
  }
  for (std::size_t m = 0; m < best.poles().size();) {
    RingFit without(data, kSmoothTerms);
    if (worse_without(best, data, m, without)) {
      ++m;
    } else {
      best = without;
      m = 0;
    }
  }
  auto poles = best.poles();
  std::sort(poles.begin(), poles.end(), [](Pole a, Pole b) { return a.imag() < b.imag(); });
  return poles;
}

}  // namespace hushmill::tap
