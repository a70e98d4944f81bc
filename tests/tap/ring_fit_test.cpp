// The fit of shared poles in a band of bins, on rings that are exactly decaying sinusoids.
#include "tap/ring_fit.hpp"

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "support/catch.hpp"
#include "tap/band_modes.hpp"

using namespace hushmill;
using test::WithinAbs;
using test::WithinRel;

namespace {
constexpr double kTwoPi = 2 * std::numbers::pi;

tap::Pole pole_of(double natural_hz, double damping_ratio) {
  const double w = kTwoPi * natural_hz;
  return {-damping_ratio * w, w * std::sqrt(1 - damping_ratio * damping_ratio)};
}

struct Part {
  tap::Pole pole;
  std::vector<double> amplitudes;  // of each ring
  double phase;
};

// The transform of the sampled ring, by its definition, bin by bin.
tap::BandData band_of(const std::vector<Part>& parts, double rate_hz, std::size_t samples, double from_hz, double to_hz) {
  tap::BandData data;
  data.rate_hz = rate_hz;
  data.ring_samples = samples;
  const double bin_hz = rate_hz / static_cast<double>(samples);
  data.first_bin = static_cast<std::size_t>(from_hz / bin_hz);
  const auto rows = static_cast<Eigen::Index>((to_hz - from_hz) / bin_hz);
  data.bins = Eigen::MatrixXcd::Zero(rows, static_cast<Eigen::Index>(parts[0].amplitudes.size()));
  for (Eigen::Index j = 0; j < data.bins.cols(); ++j)
    for (Eigen::Index k = 0; k < rows; ++k) {
      const double w = kTwoPi * static_cast<double>(data.first_bin + static_cast<std::size_t>(k)) / static_cast<double>(samples);
      for (std::size_t n = 0; n < samples; ++n) {
        double x = 0;
        const double t = static_cast<double>(n) / rate_hz;
        for (const auto& part : parts)
          x += part.amplitudes[static_cast<std::size_t>(j)] * std::exp(part.pole.real() * t) * std::cos(part.pole.imag() * t + part.phase);
        data.bins(k, j) += x * std::polar(1.0, -w * static_cast<double>(n));
      }
    }
  data.bins /= std::sqrt(static_cast<double>(samples));
  data.weights = Eigen::VectorXd::Constant(rows, 1e4 / data.bins.cwiseAbs().maxCoeff());
  data.bins = (data.weights.asDiagonal() * data.bins).eval();
  return data;
}
}  // namespace

TEST_CASE("poles nearby come to the true ones, and amplitudes with them") {
  const auto low = pole_of(800, 0.01), high = pole_of(824, 0.01);
  const auto data = band_of({{low, {1, 0.5}, 0.3}, {high, {0.7, 0.9}, 1.0}}, 8000, 1000, 680, 950);
  tap::RingFit fit(data, 3);
  fit.set_poles({pole_of(795, 0.02), pole_of(830, 0.006)});
  fit.improve(100);
  CHECK_THAT(fit.poles()[0].imag(), WithinRel(low.imag(), 2e-4));
  CHECK_THAT(fit.poles()[0].real(), WithinRel(low.real(), 0.01));
  CHECK_THAT(fit.poles()[1].imag(), WithinRel(high.imag(), 2e-4));
  CHECK_THAT(fit.poles()[1].real(), WithinRel(high.real(), 0.01));
  CHECK_THAT(fit.amplitudes_of(0)[0], WithinRel(1.0, 0.02));
  CHECK_THAT(fit.amplitudes_of(0)[1], WithinRel(0.5, 0.03));
}

TEST_CASE("two close modes are found without being told how many there are") {
  const auto data = band_of({{pole_of(800, 0.01), {1, 0.5, 0.8}, 0.3}, {pole_of(824, 0.01), {0.7, 0.9, 0.2}, 1.0}}, 8000, 1000, 680, 950);
  const auto poles = tap::band_poles(data);
  for (const double hz : {800.0, 824.0}) {
    double nearest = 1e9;
    for (const auto pole : poles) nearest = std::min(nearest, std::abs(pole - pole_of(hz, 0.01)));
    CHECK(nearest < 1);  // rad/s, of some five thousand
  }
}

TEST_CASE("the textbook's logarithmic decrement and the fitted damping are the same thing") {
  // W.T. Thomson, "Theory of Vibration with Applications", Example 2.7-1: w = 10 lb, k = 30 lb/in, c = 0.12 lb/(in/s), g = 386 in/s²
  // gives ω_n = 34.0 rad/s, ζ = 0.0681, δ = 0.429 (published, to three figures).
  const double mass = 10.0 / 386, stiffness = 30, damper = 0.12;
  const double w = std::sqrt(stiffness / mass), zeta = damper / (2 * std::sqrt(stiffness * mass));
  CHECK_THAT(w, WithinAbs(34.0, 0.05));
  CHECK_THAT(zeta, WithinAbs(0.0681, 0.00005));
  // The same ratio at a frequency that can be heard: sampled, transformed, fitted; δ from the fit by eq. (2.7-3).
  const auto data = band_of({{pole_of(1000, zeta), {1.0}, 0.4}}, 8000, 800, 700, 1400);
  tap::RingFit fit(data, 3);
  fit.set_poles({pole_of(1040, 0.04)});
  fit.improve(100);
  const double found = -fit.poles()[0].real() / std::abs(fit.poles()[0]);
  CHECK_THAT(found, WithinAbs(0.0681, 0.0007));
  CHECK_THAT(kTwoPi * found / std::sqrt(1 - found * found), WithinAbs(0.429, 0.005));
}
