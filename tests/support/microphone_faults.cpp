#include "support/microphone_faults.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>

#include "signal/fft.hpp"
#include "support/additive_shop.hpp"

namespace hushmill::test {

namespace {
constexpr double kFaultsTwoPi = 2 * std::numbers::pi;

float highest(const Samples& x) {
  float most = 1e-9F;
  for (const float v : x) most = std::max(most, std::abs(v));
  return most;
}

double loudest_second_rms(const Samples& x, double rate_hz) {
  const auto second = static_cast<std::size_t>(rate_hz);
  double most = 0;
  for (std::size_t from = 0; from + second <= x.size(); from += second) {
    double sum = 0;
    for (std::size_t i = from; i < from + second; ++i) sum += static_cast<double>(x[i]) * static_cast<double>(x[i]);
    most = std::max(most, sum / static_cast<double>(second));
  }
  return std::sqrt(most);
}
}  // namespace

Samples clipped(Samples x, double over_db, double top) {
  Samples sizes(x.size());
  std::transform(x.begin(), x.end(), sizes.begin(), [](float v) { return std::abs(v); });
  const auto hundredth = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() * 99 / 100);
  std::nth_element(sizes.begin(), hundredth, sizes.end());
  const double gain = std::pow(10.0, over_db / 20) / static_cast<double>(std::max(*hundredth, 1e-9F));
  for (float& v : x) v = static_cast<float>(top * std::clamp(gain * static_cast<double>(v), -1.0, 1.0));
  return x;
}

Samples nearly_dead(Samples x) {
  Chance chance(3);
  const float gain = 1e-3F * 0.1F / highest(x);
  for (float& v : x) v = gain * v + static_cast<float>(4.5e-5 * chance.normal());
  return x;
}

Samples pulled_plug(Samples x) {
  std::fill(x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2), x.end(), 0.0F);
  return x;
}

Samples with_offset(Samples x, double offset) {
  for (float& v : x) v = std::clamp(v + static_cast<float>(offset), -1.0F, 1.0F);
  return x;
}

Samples with_hum(Samples x, double rate_hz, double mains_hz, double share) {
  constexpr std::array<double, 9> kLines{1.0, 0.2, 0.6, 0.1, 0.4, 0.05, 0.25, 0.05, 0.15};
  double power = 0;
  for (const double a : kLines) power += 0.5 * a * a;
  const double scale = share * loudest_second_rms(x, rate_hz) / std::sqrt(power);
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double t = static_cast<double>(i) / rate_hz;
    double sum = 0;
    for (std::size_t k = 0; k < kLines.size(); ++k) sum += kLines[k] * std::sin(kFaultsTwoPi * mains_hz * static_cast<double>(k + 1) * t + 0.7 * static_cast<double>(k));
    x[i] = std::clamp(x[i] + static_cast<float>(scale * sum), -1.0F, 1.0F);
  }
  return x;
}

Samples with_pieces_missing(const Samples& x, double rate_hz, std::size_t piece, double every_s) {
  const auto every = static_cast<std::size_t>(every_s * rate_hz);
  Samples out;
  for (std::size_t i = 0; i < x.size(); ++i)
    if (i < every || i % every >= piece) out.push_back(x[i]);
  return out;
}

Samples with_pieces_silent(Samples x, double rate_hz, std::size_t piece, double every_s) {
  const auto every = static_cast<std::size_t>(every_s * rate_hz);
  for (std::size_t i = every; i < x.size(); ++i)
    if (i % every < piece) x[i] = 0;
  return x;
}

Samples with_pieces_doubled(Samples x, double rate_hz, std::size_t piece, double every_s) {
  const auto every = static_cast<std::size_t>(every_s * rate_hz);
  for (std::size_t i = every; i < x.size(); ++i)
    if (i % every < piece) x[i] = x[i - piece];
  return x;
}

Samples from_lower_rate(const Samples& x, double rate_hz, double lower_hz) {
  // First honestly down (linear), then back by repeating.
  Samples out(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double at = std::floor(static_cast<double>(i) * lower_hz / rate_hz) * rate_hz / lower_hz;
    const auto whole = std::min(x.size() - 2, static_cast<std::size_t>(at));
    const float rest = static_cast<float>(at - static_cast<double>(whole));
    out[i] = x[whole] + rest * (x[whole + 1] - x[whole]);
  }
  return out;
}

Samples through_speech_link(const Samples& x, double rate_hz, double edge_hz) {
  constexpr int kHalf = 256;
  std::array<float, 2 * kHalf + 1> taps{};
  for (int j = -kHalf; j <= kHalf; ++j) {
    const double t = kFaultsTwoPi * edge_hz / rate_hz * j;
    const double sinc = j == 0 ? 1.0 : std::sin(t) / t;
    const double window = 0.42 + 0.5 * std::cos(std::numbers::pi * j / kHalf) + 0.08 * std::cos(2 * std::numbers::pi * j / kHalf);
    taps[static_cast<std::size_t>(j + kHalf)] = static_cast<float>(2 * edge_hz / rate_hz * sinc * window);
  }
  Samples out(x.size());
  for (std::size_t i = 0; i < x.size(); ++i) {
    const std::size_t n = std::min<std::size_t>(taps.size(), i + 1);
    float sum = 0;
    for (std::size_t j = 0; j < n; ++j) sum += taps[j] * x[i - j];
    out[i] = sum;
  }
  return out;
}

Samples noise_suppressed(const Samples& x, double rate_hz) {
  const std::size_t size = signal::fft_size_at_least(static_cast<std::size_t>(0.02 * rate_hz));
  const std::size_t hop = size / 2;
  const auto remembered = static_cast<std::size_t>(1.2 * rate_hz / static_cast<double>(hop));
  signal::RealFft fft(size);
  const std::size_t bins = fft.size_bins();
  std::vector<float> windowed(size), smooth(bins, 0.0F), gain(bins, 1.0F);
  std::vector<std::vector<float>> past(remembered, std::vector<float>(bins, 1e9F));
  std::vector<std::complex<float>> spectrum(bins);
  // The inverse of a real transform by the forward one: feed real and imaginary parts, mirrored (exact, if slow).
  Samples out(x.size() + size, 0.0F);
  std::vector<float> part(size);
  std::vector<std::complex<float>> turned(bins);
  for (std::size_t at = 0, row = 0; at + size <= x.size(); at += hop, ++row) {
    for (std::size_t i = 0; i < size; ++i)
      windowed[i] = x[at + i] * static_cast<float>(std::sin(std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(size)));
    fft.process(windowed, spectrum);
    for (std::size_t k = 0; k < bins; ++k) {
      const float power = std::norm(spectrum[k]);
      smooth[k] = row == 0 ? power : 0.8F * smooth[k] + 0.2F * power;
      past[row % remembered][k] = smooth[k];
      float noise = smooth[k];
      for (const auto& earlier : past) noise = std::min(noise, earlier[k]);
      // The lowest level lies below the mean; the usual factor makes up for it.
      const float wanted = std::max(0.0316F, 1 - 2.5F * noise / std::max(power, 1e-20F));
      gain[k] = 0.5F * gain[k] + 0.5F * std::max(0.0316F, wanted);
      spectrum[k] *= row < 20 ? 1.0F : gain[k];
    }
    for (const bool imaginary : {false, true}) {
      // x[n] = 1/N Σ X[k] exp(+iωkn) = 1/N Σ (Re X cos − Im X sin); each sum over a mirrored real sequence.
      for (std::size_t k = 0; k < size; ++k) {
        const std::size_t m = k <= size / 2 ? k : size - k;
        const float sign = k <= size / 2 ? 1.0F : -1.0F;
        part[k] = imaginary ? sign * spectrum[m].imag() : spectrum[m].real();
      }
      if (imaginary) part[0] = part[size / 2] = 0;
      fft.process(part, turned);
      for (std::size_t n = 0; n < size; ++n) {
        const std::size_t m = n <= size / 2 ? n : size - n;
        // Forward: Σ p[k] exp(−iωkn). For even p it is real; for odd p it is −i Σ p sin, so Σ p sin = −imag.
        const float value = imaginary ? (n <= size / 2 ? turned[m].imag() : -turned[m].imag()) : turned[m].real();
        const double window = std::sin(std::numbers::pi * (static_cast<double>(n) + 0.5) / static_cast<double>(size));
        out[at + n] += static_cast<float>(window * static_cast<double>(value) / static_cast<double>(size));
      }
    }
  }
  out.resize(x.size());
  return out;
}

Samples gated(Samples x, double rate_hz) {
  const double open_at = std::pow(10.0, -12.0 / 20) * loudest_second_rms(x, rate_hz) * std::numbers::sqrt2;
  const double fast = 1 - std::exp(-1 / (0.02 * rate_hz)), slow = 1 - std::exp(-1 / (0.05 * rate_hz));
  double power = 0, gain = 1;
  for (float& v : x) {
    power += fast * (static_cast<double>(v) * static_cast<double>(v) - power);
    const double wanted = std::sqrt(power) >= open_at ? 1.0 : 0.0;
    gain += slow * (wanted - gain);
    v = static_cast<float>(gain * static_cast<double>(v));
  }
  return x;
}

Samples automatically_gained(Samples x, double rate_hz) {
  constexpr double kTarget = 0.1 / std::numbers::sqrt2;
  const double follow = 1 - std::exp(-1 / (0.02 * rate_hz));
  const double down = std::pow(10.0, -60.0 / 20 / rate_hz * 2), up = std::pow(10.0, 8.0 / 20 / rate_hz);
  double power = 1e-8, gain = 10;
  for (float& v : x) {
    power += follow * (static_cast<double>(v) * static_cast<double>(v) - power);
    gain = std::clamp(gain * (gain * std::sqrt(power) > kTarget ? down : up), 1e-3, 100.0);
    v = static_cast<float>(std::clamp(gain * static_cast<double>(v), -1.0, 1.0));
  }
  return x;
}

std::span<const MicrophoneFault> microphone_faults() {
  using listen::Warning;
  static const std::array kFaults{
      MicrophoneFault{"clipped", Warning::clipped, [](const Samples& x, double) { return clipped(x, 1, 1); }},
      MicrophoneFault{"clipped, then turned down", Warning::clipped, [](const Samples& x, double) { return clipped(x, 3, 0.4); }},
      MicrophoneFault{"digital silence", Warning::silent, [](const Samples& x, double) { return Samples(x.size(), 0.0F); }},
      MicrophoneFault{"plug pulled", Warning::silent, [](const Samples& x, double) { return pulled_plug(x); }},
      MicrophoneFault{"nearly dead", Warning::faint, [](const Samples& x, double) { return nearly_dead(x); }},
      MicrophoneFault{"offset of 5 %", Warning::dc_offset, [](const Samples& x, double) { return with_offset(x, 0.05); }},
      MicrophoneFault{"hum of 50 Hz", Warning::mains_hum, [](const Samples& x, double rate) { return with_hum(x, rate, 50, 0.7); }},
      MicrophoneFault{"hum of 60 Hz", Warning::mains_hum, [](const Samples& x, double rate) { return with_hum(x, rate, 60, 0.7); }},
      MicrophoneFault{"pieces missing", Warning::dropped_samples, [](const Samples& x, double rate) { return with_pieces_missing(x, rate, 256, 0.1); }},
      MicrophoneFault{"pieces silent", Warning::dropped_samples, [](const Samples& x, double rate) { return with_pieces_silent(x, rate, 256, 0.5); }},
      MicrophoneFault{"pieces doubled", Warning::dropped_samples, [](const Samples& x, double rate) { return with_pieces_doubled(x, rate, 256, 0.5); }},
      MicrophoneFault{"44.1 kHz by repeating", Warning::rate_mismatch, [](const Samples& x, double rate) { return from_lower_rate(x, rate, rate * 44.1 / 48); }},
      MicrophoneFault{"a third of the rate by repeating", Warning::rate_mismatch, [](const Samples& x, double rate) { return from_lower_rate(x, rate, rate / 3); }},
      MicrophoneFault{"speech link, 3.6 kHz", Warning::narrow_band, [](const Samples& x, double rate) { return through_speech_link(x, rate, 3600); }},
      MicrophoneFault{"speech link, 7 kHz", Warning::narrow_band, [](const Samples& x, double rate) { return through_speech_link(x, rate, 7000); }},
      MicrophoneFault{"noise suppressed", Warning::noise_suppression, [](const Samples& x, double rate) { return noise_suppressed(x, rate); }},
      MicrophoneFault{"gated", Warning::noise_suppression, [](const Samples& x, double rate) { return gated(x, rate); }},
      MicrophoneFault{"automatic gain", Warning::automatic_gain, [](const Samples& x, double rate) { return automatically_gained(x, rate); }},
  };
  return kFaults;
}

}  // namespace hushmill::test
