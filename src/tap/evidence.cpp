#include "tap/evidence.hpp"

#include <algorithm>
#include <cmath>

#include "tap/band_modes.hpp"

namespace hushmill::tap {

namespace {
constexpr int kEvidenceSteps = 12;
constexpr double kHeardWeight = 12;      // of the mode in one tap, in units of the noise: one in a hundred thousand by chance
constexpr double kWithinSpreads = 4;
constexpr double kWithinShare = 0.002;   // of the frequency, and 30 % of the decay: taps differ by more than noise
constexpr double kWithinDecay = 0.3;

// The mode alone, the others held, in one ring.
bool agrees(const BandData& data, const std::vector<Pole>& poles, std::size_t mode, Eigen::Index ring) {
  const auto one = data.only({ring});
  RingFit fit(one, kSmoothTerms);
  auto order = poles;
  std::rotate(order.begin() + static_cast<std::ptrdiff_t>(mode), order.begin() + static_cast<std::ptrdiff_t>(mode) + 1, order.end());
  fit.set_poles(order);
  if (fit.weights_of(order.size() - 1)[0] < kHeardWeight) return false;
  fit.improve(kEvidenceSteps, order.size() - 1);
  const Pole joint = poles[mode], own = fit.poles().back();
  const double spread = std::min(fit.spread_of(order.size() - 1), 0.5 * std::abs(joint.real()));
  return std::abs(own.imag() - joint.imag()) < kWithinSpreads * spread + kWithinShare * joint.imag() &&
         std::abs(own.real() - joint.real()) < kWithinSpreads * spread + kWithinDecay * std::abs(joint.real() + data.extra_decay_per_s);
}

Evidence by_fit(const BandData& data, const RingFit& fit, std::size_t mode) {
  Evidence e;
  const Pole pole = fit.poles()[mode];
  e.pole = pole + data.extra_decay_per_s;
  e.ring_samples = data.ring_samples;
  e.weight = fit.weight_of(mode);
  e.spread_rad_s = fit.spread_of(mode);
  double squares = 0;
  for (const double a : fit.amplitudes_of(mode)) squares += a * a;
  const double decay = std::max(1e-9, -e.pole.real());
  squares *= std::exp(2 * decay * data.skipped_s) / static_cast<double>(data.bins.cols());
  e.amplitude = std::sqrt(squares);
  e.energy = squares / (4 * decay);
  return e;
}
}  // namespace

std::vector<Evidence> evidence_of(const BandData& data, const std::vector<Pole>& poles) {
  std::vector<Evidence> all;
  RingFit fit(data, kSmoothTerms);
  fit.set_poles(poles);
  for (std::size_t m = 0; m < poles.size(); ++m) all.push_back(by_fit(data, fit, m));
  return all;
}

Evidence full_evidence_of(const BandData& data, const std::vector<Pole>& poles, std::size_t mode) {
  RingFit fit(data, kSmoothTerms);
  fit.set_poles(poles);
  Evidence e = by_fit(data, fit, mode);
  const Eigen::Index rings = data.bins.cols();
  // Jackknife over taps: B. Efron, C. Stein, Ann. Statist. 9 (1981) 586-596 (from memory).
  std::vector<Pole> left_out;
  for (Eigen::Index j = 0; rings >= 3 && j < rings; ++j) {
    std::vector<Eigen::Index> others;
    for (Eigen::Index i = 0; i < rings; ++i)
      if (i != j) others.push_back(i);
    const auto part = data.only(others);
    RingFit without(part, kSmoothTerms);
    without.set_poles(poles);
    without.improve(kEvidenceSteps);
    left_out.push_back(without.poles()[mode]);
  }
  if (!left_out.empty()) {
    const auto n = static_cast<double>(left_out.size());
    Pole mean = 0;
    for (const auto pole : left_out) mean += pole / n;
    double along = 0, across = 0;
    for (const auto pole : left_out) {
      along += std::pow(pole.real() - mean.real(), 2);
      across += std::pow(pole.imag() - mean.imag(), 2);
    }
    e.spread_between_taps_rad_s = std::sqrt(std::max(along, across) * (n - 1) / n);
    e.spread_rad_s = std::max(e.spread_rad_s, e.spread_between_taps_rad_s);
  }
  for (Eigen::Index j = 0; j < rings; ++j)
    if (agrees(data, poles, mode, j)) ++e.taps_agreeing;
  return e;
}

}  // namespace hushmill::tap
