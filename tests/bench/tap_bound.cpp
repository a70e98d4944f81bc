#include "bench/tap_bound.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace hushmill::bench {

namespace {
using BoundComplex = std::complex<double>;
constexpr double kBoundTwoPi = 2 * std::numbers::pi;
constexpr double kBoundRingTimes = 8;     // of the ring's time constant are looked at
constexpr double kBoundLongestS = 2;
constexpr double kBoundReach = 16;        // of the band to either side, in units of the decay
constexpr double kDullCornerHz = 200;

BoundComplex true_pole(const test::TappedMode& mode) {
  const double w = kBoundTwoPi * mode.natural_hz, z = mode.damping_ratio;
  return {-z * w, w * std::sqrt(1 - z * z)};
}

// ∫ exp(p·(t − late) − iω·t) dt from `late` to `length`: a ring that begins late, in one bin.
BoundComplex bin_of(BoundComplex pole, double w, double late_s, double length_s) {
  const BoundComplex a = pole - BoundComplex(0, w);
  return std::exp(BoundComplex(0, -w * late_s)) * (std::exp(a * (length_s - late_s)) - 1.0) / a;
}
// By the pole, of a ring that begins at once.
BoundComplex slope_of(BoundComplex pole, double w, double length_s) {
  const BoundComplex a = pole - BoundComplex(0, w), e = std::exp(a * length_s);
  return length_s * e / a - (e - 1.0) / (a * a);
}

double bound_spread(const Eigen::MatrixXcd& columns, const Eigen::MatrixXcd& covariance, Eigen::Index which) {
  const Eigen::MatrixXcd white = covariance.llt().matrixL().solve(columns);
  // Columns of like length: poles and amounts differ by orders of magnitude.
  Eigen::MatrixXcd scaled = white;
  const Eigen::VectorXd norms = white.colwise().norm().transpose();
  for (Eigen::Index c = 0; c < scaled.cols(); ++c) scaled.col(c) /= norms[c];
  const Eigen::MatrixXcd information = scaled.adjoint() * scaled;
  Eigen::VectorXcd unit = Eigen::VectorXcd::Zero(information.rows());
  unit[which] = 1;
  return std::sqrt(std::max(0.0, information.ldlt().solve(unit)[which].real()) / 2) / norms[which];
}
}  // namespace

std::vector<TapBound> tap_bounds(const test::TappedThing& thing, const test::TappedSound& sound) {
  std::vector<TapBound> bounds;
  std::vector<std::size_t> taps;
  double shortest_s = kBoundLongestS;
  for (std::size_t h = 0; h < thing.hits.size(); ++h) {
    if (thing.hits[h].again_after_s > 0) continue;
    taps.push_back(h);
    shortest_s = std::min(shortest_s, (h + 1 < thing.hits.size() ? thing.hits[h + 1].at_s : thing.duration_s) - thing.hits[h].at_s - thing.contact_s);
  }
  const auto modes = static_cast<Eigen::Index>(thing.modes.size());
  const auto rings = static_cast<Eigen::Index>(taps.size());
  for (const auto& mode : thing.modes) {
    const BoundComplex centre = true_pole(mode);
    const double decay = -centre.real();
    const double length_s = std::min(shortest_s, kBoundRingTimes / decay);
    const double bin = kBoundTwoPi / length_s;
    const auto side = static_cast<Eigen::Index>(std::ceil(std::max(kBoundReach * decay, 6 * bin) / bin));
    const Eigen::Index bins = 2 * side + 1;
    const auto w_of = [&](Eigen::Index k) { return centre.imag() + bin * static_cast<double>(k - side); };
    const auto amount = [&](Eigen::Index m, Eigen::Index j) {
      // −A·sin(ω(t + contact/2)) from the end of the push on; only the part that turns forward.
      const auto& one = thing.modes[static_cast<std::size_t>(m)];
      return BoundComplex(0, 0.5) * sound.ring_peak[static_cast<std::size_t>(m)][taps[static_cast<std::size_t>(j)]] *
             std::polar(1.0, kBoundTwoPi * one.natural_hz * thing.contact_s / 2);
    };
    // Columns: the poles, then every mode's amount in every tap. Bins of one tap after those of another.
    Eigen::MatrixXcd columns = Eigen::MatrixXcd::Zero(bins * rings, modes * (1 + rings));
    for (Eigen::Index m = 0; m < modes; ++m) {
      const BoundComplex pole = true_pole(thing.modes[static_cast<std::size_t>(m)]);
      for (Eigen::Index j = 0; j < rings; ++j)
        for (Eigen::Index k = 0; k < bins; ++k) {
          columns(j * bins + k, m) = amount(m, j) * slope_of(pole, w_of(k), length_s);
          columns(j * bins + k, modes + m * rings + j) = bin_of(pole, w_of(k), 0, length_s);
        }
    }
    // White noise of effective value n at a rate: density n²/rate, times the length.
    Eigen::MatrixXcd covariance = Eigen::MatrixXcd::Zero(bins * rings, bins * rings);
    for (Eigen::Index k = 0; k < bins; ++k) {
      const double corner = std::exp(-kBoundTwoPi * kDullCornerHz / thing.sample_rate_hz);
      const double dull = (1 - corner * corner) / std::norm(1.0 - corner * std::polar(1.0, -w_of(k) / thing.sample_rate_hz));
      const double density = sound.noise * sound.noise * (1 - thing.dull_noise + thing.dull_noise * dull) / thing.sample_rate_hz * length_s;
      for (Eigen::Index j = 0; j < rings; ++j) covariance(j * bins + k, j * bins + k) = density;
    }
    const auto which = &mode - thing.modes.data();
    TapBound bound;
    bound.by_noise_rad_s = bound_spread(columns, covariance, which);
    const double step_s = 1 / (3 * bin * static_cast<double>(side) / std::numbers::pi);
    const auto steps = static_cast<Eigen::Index>(std::ceil(std::min(length_s, thing.room_tail_s) / step_s));
    Eigen::MatrixXcd echoes(bins * rings, steps);
    for (Eigen::Index q = 0; q < steps; ++q) {
      const double late_s = step_s * (static_cast<double>(q) + 0.5);
      const double gain = late_s < length_s ? std::sqrt(test::room_answer(thing, step_s * static_cast<double>(q), step_s * static_cast<double>(q + 1))) : 0;
      for (Eigen::Index j = 0; j < rings; ++j)
        for (Eigen::Index k = 0; k < bins; ++k) {
          BoundComplex sum = 0;
          for (Eigen::Index m = 0; gain > 0 && m < modes; ++m) sum += amount(m, j) * bin_of(true_pole(thing.modes[static_cast<std::size_t>(m)]), w_of(k), late_s, length_s);
          echoes(j * bins + k, q) = gain * sum;
        }
    }
    covariance += echoes * echoes.adjoint();
    bound.rad_s = bound_spread(columns, covariance, which);
    bounds.push_back(bound);
  }
  return bounds;
}

double quantile_of_normals(const std::vector<double>& standard_errors, double share) {
  double low = 0, high = 0;
  for (const double one : standard_errors) high = std::max(high, 6 * one);
  for (int halving = 0; halving < 60; ++halving) {
    const double middle = (low + high) / 2;
    double below = 0;
    for (const double one : standard_errors) below += std::erf(middle / (one * std::numbers::sqrt2));
    (below < share * static_cast<double>(standard_errors.size()) ? low : high) = middle;
  }
  return low;
}

}  // namespace hushmill::bench
