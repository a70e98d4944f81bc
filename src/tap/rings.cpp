#include "tap/rings.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

#include "signal/fft.hpp"
#include "signal/window.hpp"

namespace hushmill::tap {

namespace {
constexpr double kRingLongestS = 2;
constexpr double kFirstWaves = 8;      // of the band's middle: the shortest length that is looked at
constexpr double kRingOverRoom = 1.5;      // power of the band in a piece of the ring, or the ring is over
constexpr double kMostBins = 320;
constexpr double kLeastBins = 14;
// A near room answers every ring with a share of its energy, at the same frequencies: that much of the spectrum is not to be
// believed, and it is the same in every tap.
constexpr double kRoomShare = 0.01;
constexpr double kRoomDecayPerS = 15;  // 60 dB in half a second
constexpr double kBroadDecayPerS = 20;  // a ring that dies sooner than the room's answer is spread over what the room does differently
constexpr double kEchoDecayPerS = 27;  // of the answer's power: the same half second
constexpr double kFirstEchoS = 0.0015;
constexpr double kSkippedShare = 0.3;   // of the ring's time constant
constexpr double kLeastNoiseBins = 12;  // to either side, of the room's spectrum: a median of few is none
constexpr double kRoomSpill = 0.02;    // of it, spread over the whole band
constexpr double kSmoothShare = 0.02;  // of the band to either side

// The near room's answer is the ring once more, times what the room does at each frequency, which is alike over a few hertz only.
// Errors of bins go together accordingly: the room's answer to a click is noise that dies down exponentially (J.-D. Polack, "La
// transmission de l'energie sonore dans les salles", thesis, 1988, from memory), from the first echo to the end of the ring.
Eigen::MatrixXcd whitener_of(const BandData& data, double noise) {
  const double ring_s = data.ring_s(), past = std::exp(-kEchoDecayPerS * std::max(0.0, ring_s - kFirstEchoS));
  const Eigen::Index count = data.bins.rows();
  std::vector<Pole> alike;
  for (Eigen::Index k = 0; k < count; ++k) {
    const double apart = data.bin_rad_s() * static_cast<double>(k);
    alike.push_back((std::polar(1.0, -apart * kFirstEchoS) - past) / Pole(1, apart / kEchoDecayPerS));
  }
  Eigen::MatrixXcd covariance = kRoomShare * data.bins * data.bins.adjoint();
  for (Eigen::Index k = 0; k < count; ++k)
    for (Eigen::Index l = 0; l < count; ++l) covariance(k, l) *= k >= l ? alike[static_cast<std::size_t>(k - l)] : std::conj(alike[static_cast<std::size_t>(l - k)]);
  covariance.diagonal().array() += noise;
  const Eigen::LLT<Eigen::MatrixXcd> root(covariance);
  if (root.info() != Eigen::Success) return {};
  return root.matrixL().solve(Eigen::MatrixXcd::Identity(count, count));
}

std::size_t size_at_most(std::size_t samples) {
  std::size_t size = samples - samples % 2;
  while (size > 2 && signal::fft_size_at_least(size) != size) size -= 2;
  return size;
}
}  // namespace

Rings::Rings(std::span<const float> sound, double rate_hz, std::vector<Stretch> rings, Stretch room)
    : sound_(sound), rate_hz_(rate_hz), rings_(std::move(rings)), room_(room), shortest_(static_cast<std::size_t>(kRingLongestS * rate_hz)) {
  for (const auto& ring : rings_) shortest_ = std::min(shortest_, ring.size());
  if (room_.size() > 1) room_.from = room_.to - size_at_most(std::min(room_.size(), static_cast<std::size_t>(rate_hz)));
}

const Rings::Bins& Rings::spectrum(std::size_t from, std::size_t size) {
  auto& bins = kept_[{from, size}];
  if (!bins.empty()) return bins;
  signal::RealFft fft(size);
  std::vector<float> in(sound_.begin() + static_cast<std::ptrdiff_t>(from), sound_.begin() + static_cast<std::ptrdiff_t>(from + size));
  const auto window = signal::make_window(signal::WindowKind::hann, size);
  for (std::size_t n = 0; n < size; ++n) in[n] *= window[n];
  const float scale = std::sqrt(8.0F / 3.0F / static_cast<float>(size));
  bins.resize(fft.size_bins());
  fft.process(in, bins);
  for (auto& bin : bins) bin *= scale;
  return bins;
}

// Mean power of the band, of a two-sided spectrum.
double Rings::power(std::size_t from, std::size_t size, double from_hz, double to_hz) {
  const auto& bins = spectrum(from, size);
  const double bin_hz = rate_hz_ / static_cast<double>(size);
  double sum = 0;
  for (auto k = static_cast<std::size_t>(std::lround(from_hz / bin_hz)); k <= static_cast<std::size_t>(std::lround(to_hz / bin_hz)) && k < bins.size(); ++k)
    sum += static_cast<double>(std::norm(bins[k]));
  return sum / static_cast<double>(size);
}

std::size_t Rings::length_for(double from_hz, double to_hz) {
  const double width = to_hz - from_hz;
  const double least_s = std::max(kFirstWaves / from_hz, kLeastBins / width);
  const double most_s = std::min(static_cast<double>(shortest_) / rate_hz_, kMostBins / width);
  // Doubled lengths from a power of two of seconds, so that bands of one octave share their transforms.
  double length_s = std::exp2(std::ceil(std::log2(kFirstWaves / from_hz)));
  const double room = room_.size() > 1 ? power(room_.from, room_.size(), from_hz, to_hz) : 0;
  while (2 * length_s <= most_s) {
    const std::size_t size = size_at_most(static_cast<std::size_t>(length_s * rate_hz_));
    const auto later = static_cast<std::size_t>(length_s * rate_hz_);
    double sum = 0;
    for (const auto& ring : rings_) sum += power(ring.from + later, std::min(size, size_at_most(ring.size() - later)), from_hz, to_hz);
    if (sum / static_cast<double>(rings_.size()) < kRingOverRoom * room) break;
    length_s *= 2;
  }
  length_s = std::min(std::max(length_s, least_s), most_s);
  return size_at_most(static_cast<std::size_t>(length_s * rate_hz_));
}

BandData Rings::band(double from_hz, double to_hz) {
  BandData data;
  data.rate_hz = rate_hz_;
  data.ring_samples = length_for(from_hz, to_hz);
  const double bin_hz = rate_hz_ / static_cast<double>(data.ring_samples);
  data.first_bin = static_cast<std::size_t>(std::max(1.0, std::floor(from_hz / bin_hz)));
  const auto last = std::min(data.ring_samples / 2 - 1, static_cast<std::size_t>(std::ceil(to_hz / bin_hz)));
  data.bins.resize(static_cast<Eigen::Index>(last - data.first_bin + 1), static_cast<Eigen::Index>(rings_.size()));
  fill(data, false);
  return data;
}

BandData Rings::plain(double from_hz, double to_hz, double length_s) {
  BandData data;
  data.rate_hz = rate_hz_;
  data.ring_samples = size_at_most(std::min(shortest_, static_cast<std::size_t>(length_s * rate_hz_)));
  const double bin_hz = rate_hz_ / static_cast<double>(data.ring_samples);
  data.first_bin = static_cast<std::size_t>(std::max(1.0, std::floor(from_hz / bin_hz)));
  const auto last = std::min(data.ring_samples / 2 - 1, static_cast<std::size_t>(std::ceil(to_hz / bin_hz)));
  if (last < data.first_bin) return data;
  data.bins.resize(static_cast<Eigen::Index>(last - data.first_bin + 1), static_cast<Eigen::Index>(rings_.size()));
  transform(data);
  data.weights = Eigen::VectorXd::Ones(data.bins.rows());
  return data;
}

Eigen::VectorXd Rings::noise_of(const BandData& data) {
  Eigen::VectorXd noise = Eigen::VectorXd::Zero(data.bins.rows());
  if (room_.size() < 2) return noise;
  const double bin_hz = rate_hz_ / static_cast<double>(data.ring_samples);
  const double half_hz = std::max(0.1 * bin_hz * static_cast<double>(noise.size()), kLeastNoiseBins * rate_hz_ / static_cast<double>(room_.size()));
  for (Eigen::Index k = 0; k < noise.size(); ++k) {
    const double hz = bin_hz * static_cast<double>(data.first_bin + static_cast<std::size_t>(k));
    noise[k] = room_density(std::max(0.0, hz - half_hz), hz + half_hz);
  }
  return noise;
}

bool Rings::is_broad(double decay_per_s) noexcept { return decay_per_s > kBroadDecayPerS && decay_per_s * kFirstEchoS < 2; }

BandData Rings::looked_at_for(const BandData& like, double decay_per_s) {
  BandData data = like;
  const bool broad = is_broad(decay_per_s);
  data.extra_decay_per_s = broad ? 0 : std::max(0.0, decay_per_s - kRoomDecayPerS);
  const auto spare = static_cast<double>(shortest_ - like.ring_samples) / rate_hz_;
  data.skipped_s = std::min(spare, (broad ? 0 : kSkippedShare) / decay_per_s);
  fill(data, broad);
  return data;
}

void Rings::transform(BandData& data) {
  const std::size_t size = data.ring_samples;
  signal::RealFft fft(size);
  std::vector<float> in(size);
  Bins bins(fft.size_bins());
  for (std::size_t j = 0; j < rings_.size(); ++j) {
    double weight = 1 / std::sqrt(static_cast<double>(size));
    const double step = std::exp(-data.extra_decay_per_s / rate_hz_);
    const std::size_t from = rings_[j].from + static_cast<std::size_t>(data.skipped_s * rate_hz_);
    for (std::size_t n = 0; n < size; ++n, weight *= step) in[n] = static_cast<float>(static_cast<double>(sound_[from + n]) * weight);
    fft.process(in, bins);
    for (Eigen::Index k = 0; k < data.bins.rows(); ++k)
      data.bins(k, static_cast<Eigen::Index>(j)) = std::complex<double>(bins[data.first_bin + static_cast<std::size_t>(k)]);
  }
}

void Rings::fill(BandData& data, bool errors_go_together) {
  transform(data);
  const std::size_t size = data.ring_samples;
  // Expected error of each bin: the room's noise, and the room's answer.
  const double bin_hz = rate_hz_ / static_cast<double>(size);
  const double from_hz = bin_hz * static_cast<double>(data.first_bin), to_hz = from_hz + bin_hz * static_cast<double>(data.bins.rows());
  const double damping = 2 * data.extra_decay_per_s * data.ring_s();
  const double left = damping > 1e-9 ? (1 - std::exp(-damping)) / damping : 1;
  const double noise = room_.size() > 1 ? left * room_density(from_hz, to_hz) : 0;
  const Eigen::VectorXd powers = data.bins.rowwise().squaredNorm();  // sum over rings: the answer is common to them
  const auto reach = static_cast<Eigen::Index>(kSmoothShare * static_cast<double>(powers.size())) + 1;
  data.weights.resize(powers.size());
  for (Eigen::Index k = 0; k < powers.size(); ++k) {
    const auto from = std::max<Eigen::Index>(0, k - reach), to = std::min(powers.size() - 1, k + reach);
    const double near = powers.segment(from, to - from + 1).mean();
    data.weights[k] = 1 / std::sqrt(noise + kRoomShare * (near + kRoomSpill * powers.mean()) + 1e-30);
  }
  if (errors_go_together) data.whitener = whitener_of(data, noise + kRoomShare * kRoomSpill * powers.mean() + 1e-30);
  data.bins = data.weighed(data.bins);
}

// Mean power of a bin of the room between these; the median of its bins, so that tones do not count.
double Rings::room_density(double from_hz, double to_hz) {
  const auto& bins = spectrum(room_.from, room_.size());
  const double bin_hz = rate_hz_ / static_cast<double>(room_.size());
  const auto first = std::min(bins.size() - 1, static_cast<std::size_t>(from_hz / bin_hz));
  std::vector<double> powers;
  for (auto k = first; k <= static_cast<std::size_t>(to_hz / bin_hz) + 1 && k < bins.size(); ++k) powers.push_back(static_cast<double>(std::norm(bins[k])));
  std::nth_element(powers.begin(), powers.begin() + static_cast<std::ptrdiff_t>(powers.size() / 2), powers.end());
  return powers[powers.size() / 2] / std::log(2.0);
}

double Rings::room_peak(double from_hz, double to_hz) {
  if (room_.size() < 2) return 0;
  const auto& bins = spectrum(room_.from, room_.size());
  const double bin_hz = rate_hz_ / static_cast<double>(room_.size());
  double most = 0;
  const auto first = static_cast<std::size_t>(std::max(0.0, std::floor(from_hz / bin_hz)));
  for (std::size_t k = first; k <= static_cast<std::size_t>(std::ceil(to_hz / bin_hz)) && k < bins.size(); ++k)
    most = std::max(most, static_cast<double>(std::norm(bins[k])));
  // A sine of peak a stands at a²·N/4·(2/3) here.
  return std::sqrt(most * 6 / static_cast<double>(room_.size()));
}

}  // namespace hushmill::tap
