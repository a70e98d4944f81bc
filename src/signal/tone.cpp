#include "signal/tone.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace hushmill::signal {

namespace {
constexpr int kSteps = 3;
// Newton's step at a maximum leaves an error of the third power: after one this small there is nothing left to gain.
constexpr double kSmallStepBins = 0.03;

// A phasor that turns by the same angle every sample; written out, for std::complex checks every product for NaN.
struct Phasor {
  double re, im, step_re, step_im;
  Phasor(double at_rad, double step_rad) noexcept
      : re(std::cos(at_rad)), im(std::sin(at_rad)), step_re(std::cos(step_rad)), step_im(std::sin(step_rad)) {}
  void turn() noexcept {
    const double next = re * step_re - im * step_im;
    im = re * step_im + im * step_re;
    re = next;
  }
};

// How far the maximum of |S|², S = Σ w·x·exp(−iωt), lies from ω, by the slope and curvature there; 0 without a maximum.
double newton_step(std::span<const float> samples, double omega) noexcept {
  const auto n = static_cast<double>(samples.size());
  const double middle = 0.5 * (n - 1.0);  // time counts from the middle: slope and curvature stay well conditioned
  Phasor wave(omega * middle, -omega);
  Phasor window(-0.5 * std::numbers::pi * (n - 1.0) / n, std::numbers::pi / n);
  std::complex<double> s0, s1, s2;
  double t = -middle;
  for (const float x : samples) {
    const double weighted = window.re * static_cast<double>(x);
    const std::complex<double> term(weighted * wave.re, weighted * wave.im);
    s0 += term;
    s1 += t * term;
    s2 += t * t * term;
    t += 1.0;
    wave.turn();
    window.turn();
  }
  // With S' = −iΣt…, S'' = −Σt²…: halves of the first and second derivative of |S|².
  const double slope = s0.real() * s1.imag() - s0.imag() * s1.real();
  const double curvature = std::norm(s1) - (s0.real() * s2.real() + s0.imag() * s2.imag());
  return curvature < 0 ? -slope / curvature : 0.0;
}
}  // namespace

double refine_tone_hz(std::span<const float> samples, double sample_rate_hz, double start_hz,
                      double within_hz) noexcept {
  if (samples.size() < 8 || sample_rate_hz <= 0) return start_hz;
  const double to_omega = 2.0 * std::numbers::pi / sample_rate_hz;
  double hz = start_hz;
  for (int step = 0; step < kSteps; ++step) {
    const double by_hz = newton_step(samples, hz * to_omega) / to_omega;
    hz = std::clamp(hz + by_hz, start_hz - within_hz, start_hz + within_hz);
    if (std::abs(by_hz) < kSmallStepBins * sample_rate_hz / static_cast<double>(samples.size())) break;
  }
  return hz;
}

}  // namespace hushmill::signal
