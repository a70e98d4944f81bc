#include "lessons/two_tones.hpp"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>

#include "cutting/circle.hpp"
#include "signal/spectrum.hpp"
#include "tap/subspace.hpp"

namespace hushmill::lessons {
namespace {

using Complex = std::complex<double>;

using cutting::kTurn;
constexpr double kRateHz = 4000;         // after the first thinning
constexpr std::size_t kKept = 8000;      // 2 s
constexpr std::size_t kLongest = 6000;   // 1.5 s are looked at
constexpr std::size_t kShortest = 2400;  // 0.6 s: less cannot part tones
constexpr std::size_t kLookEvery = 1000;
constexpr std::size_t kFrame = 2000;  // for the rough place, 2 Hz bins
constexpr std::size_t kThin = 50;     // to 80 Hz
constexpr std::size_t kTaps = 200;    // of the filter before that: flat to 20 Hz, nothing beyond 50
constexpr std::size_t kBlock = 200;   // 50 ms
constexpr double kFromHz = 100, kToHz = 1600;
constexpr double kRise = 2.5, kLouder = 1.3;  // a strike, in power: over the block before, over the last two seconds
constexpr double kLeastPower = 1e-9;          // −90 dB
constexpr double kOverRest = 8;               // the tone over all else that is heard: below it is no fork
constexpr double kFarBetter = 0.3;            // misfit of two tones over that of one
constexpr double kMostLeft = 0.05;            // of the power near it that may stay unexplained
constexpr double kLeastSecond = 0.02;         // −34 dB
constexpr double kLeastApart = 0.7;          // of a beat within what is looked at: nearer than that a fading tone looks like two
constexpr int kMostTones = 4;
constexpr double kToneHz = 12;                // either side

/// Amplitudes of decaying tones by least squares, and what they leave.
struct Fit {
  std::vector<double> amplitude;
  double misfit = 0;
};

Fit fit(const std::vector<Complex>& x, const std::vector<Complex>& z) {
  const std::size_t n = x.size(), k = z.size();
  Eigen::MatrixXcd columns(static_cast<Eigen::Index>(n), static_cast<Eigen::Index>(k));
  Eigen::VectorXcd heard(static_cast<Eigen::Index>(n));
  for (std::size_t i = 0; i < n; ++i) heard[static_cast<Eigen::Index>(i)] = x[i];
  for (std::size_t m = 0; m < k; ++m) {
    Complex power = 1;
    for (std::size_t i = 0; i < n; ++i, power *= z[m])
      columns(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(m)) = power;
  }
  // One or two unknowns: the normal equations, solved by Gram and Schmidt.
  Fit out;
  Eigen::MatrixXcd q = columns;
  Eigen::VectorXcd rest = heard;
  for (Eigen::Index m = 0; m < q.cols(); ++m) {
    for (Eigen::Index j = 0; j < m; ++j) q.col(m) -= q.col(j) * q.col(j).dot(q.col(m));
    const double size = q.col(m).norm();
    if (size < 1e-12) continue;
    q.col(m) /= size;
    const Complex share = q.col(m).dot(rest);
    rest -= q.col(m) * share;
    out.amplitude.push_back(std::abs(share) / std::sqrt(static_cast<double>(n)));
  }
  out.misfit = rest.squaredNorm();
  return out;
}

/// Some tones far apart, and next to nothing else: no noise, and no voice.
bool few_tones(std::span<const float> power, double bin_hz, double all) {
  std::vector<float> left(power.begin(), power.end());
  const auto reach = static_cast<std::ptrdiff_t>(kToneHz / bin_hz);
  double told = 0;
  for (int tone = 0; tone < kMostTones; ++tone) {
    const auto top = std::max_element(left.begin(), left.end()) - left.begin();
    for (auto k = std::max<std::ptrdiff_t>(0, top - reach); k <= std::min<std::ptrdiff_t>(std::ssize(left) - 1, top + reach); ++k) {
      told += static_cast<double>(left[static_cast<std::size_t>(k)]);
      left[static_cast<std::size_t>(k)] = 0;
    }
  }
  return told > kOverRest * (all - told);
}

}  // namespace

TwoTones::TwoTones(double sample_rate_hz)
    : decimator_(static_cast<std::size_t>(std::lround(sample_rate_hz / kRateHz))), to_look_(kLookEvery) {}

void TwoTones::process(std::span<const float> sound) {
  float out = 0;
  for (const float sample : sound) {
    if (!decimator_.process(std::isfinite(sample) ? sample : 0.0F, out)) continue;
    sound_.push_back(out);
    ++since_strike_;
    block_power_ += static_cast<double>(out) * static_cast<double>(out);
    if (++in_block_ == kBlock) {
      // A beat swells from its null, too, but never beyond what was heard before it.
      const double loudest = *std::max_element(recent_.begin(), recent_.end());
      if (block_power_ > kRise * recent_[at_recent_] && block_power_ > kLouder * loudest) since_strike_ = 0;
      at_recent_ = (at_recent_ + 1) % recent_.size();
      recent_[at_recent_] = block_power_;
      block_power_ = 0;
      in_block_ = 0;
    }
    if (--to_look_ == 0) {
      to_look_ = kLookEvery;
      if (sound_.size() > kKept) sound_.erase(sound_.begin(), sound_.end() - static_cast<std::ptrdiff_t>(kKept));
      look();
    }
  }
}

/// Mixed down to 0 Hz, low-passed and thinned out to 80 Hz, without the filter's ends.
std::vector<Complex> TwoTones::baseband(std::size_t from, double centre_hz) const {
  std::vector<Complex> out;
  for (std::size_t at = from; at + kTaps < sound_.size(); at += kThin) {
    Complex sum = 0;
    for (std::size_t i = 0; i < kTaps; ++i) {
      const double t = (static_cast<double>(i) + 0.5) / kTaps;
      const double window = 0.42 - 0.5 * std::cos(kTurn * t) + 0.08 * std::cos(2 * kTurn * t);  // Blackman
      sum += window * static_cast<double>(sound_[at + i]) *
             std::polar(1.0, -kTurn * centre_hz * static_cast<double>(at + i) / kRateHz);
    }
    out.push_back(sum * (2 / (0.42 * kTaps)));
  }
  return out;
}

void TwoTones::look() {
  tones_.reset();
  const std::size_t length = std::min({sound_.size(), since_strike_, kLongest});
  if (length < kShortest) return;
  signal::Spectrum spectrum(kFrame, kRateHz);
  spectrum.process(std::span<const float>(sound_).last(kFrame));
  const auto power = spectrum.power();
  const auto low = static_cast<std::size_t>(kFromHz / spectrum.bin_hz()),
             high = static_cast<std::size_t>(kToHz / spectrum.bin_hz());
  const auto top = std::max_element(power.begin() + static_cast<std::ptrdiff_t>(low),
                                    power.begin() + static_cast<std::ptrdiff_t>(high));
  double near = 0, all = 0;
  for (std::size_t k = low; k < high; ++k) {
    all += static_cast<double>(power[k]);
    if (std::abs(static_cast<double>(k) - static_cast<double>(top - power.begin())) * spectrum.bin_hz() <= 24)
      near += static_cast<double>(power[k]);
  }
  if (near < kLeastPower) return;
  if (near < kOverRest * (all - near)) {
    HeardTones several;
    several.unclear = true;
    if (few_tones(power.subspan(low, high - low), spectrum.bin_hz(), all)) tones_ = several;
    return;
  }
  const double centre_hz = spectrum.bin_hz() * static_cast<double>(top - power.begin());

  const auto x = baseband(sound_.size() - length, centre_hz);
  Eigen::MatrixXcd sequence(static_cast<Eigen::Index>(x.size()), 1);
  for (std::size_t i = 0; i < x.size(); ++i) sequence(static_cast<Eigen::Index>(i), 0) = x[i];
  const auto orders = tap::subspace_poles(sequence, {1, 2});
  if (orders.empty()) return;
  const auto hz_of = [&](Complex z) { return centre_hz + std::arg(z) / kTurn * kRateHz / kThin; };
  HeardTones heard;
  heard.window_s = static_cast<double>(length) / kRateHz;
  heard.first_hz = hz_of(orders[0][0]);
  const Fit one = fit(x, orders[0]);
  double left = one.misfit, all_near = 0;
  for (const Complex& value : x) all_near += std::norm(value);
  if (orders.size() > 1) {
    const Fit two = fit(x, orders[1]);
    // Gram and Schmidt give the second what the first does not hold, so its share is what speaks for it.
    if (two.amplitude.size() == 2 && two.misfit < kFarBetter * one.misfit &&
        two.amplitude[1] > kLeastSecond * two.amplitude[0] && two.amplitude[0] > kLeastSecond * two.amplitude[1]) {
      const double a = hz_of(orders[1][0]), b = hz_of(orders[1][1]);
      left = two.misfit;
      if (std::abs(a - b) * heard.window_s >= kLeastApart) {
        heard.first_hz = std::min(a, b);
        heard.second_hz = std::max(a, b);
      }
    }
  }
  // A third tone, or one that wanders: a name for it would be that of a frequency which is not there.
  heard.unclear = left > kMostLeft * all_near;
  if (heard.unclear) heard.second_hz.reset();
  tones_ = heard;
}

}  // namespace hushmill::lessons
