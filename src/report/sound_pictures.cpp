#include "report/sound_pictures.hpp"

#include <algorithm>
#include <cmath>

#include "signal/decibel.hpp"
#include "signal/spectrum.hpp"

namespace hushmill::report {
namespace {

constexpr double kCurveWindowS = 0.17, kCurveS = 0.5;
constexpr double kImageWindowS = 0.043;
constexpr double kShownDb = 50;

std::size_t size_of(double window_s, double rate_hz) {
  return signal::fft_size_at_least(static_cast<std::size_t>(window_s * rate_hz));
}

/// A file may hold what is no sound, and then its power is no number; a picture must have an end at the top all the same.
double shown_db(double power) {
  const double db = signal::power_db(power);
  return std::isfinite(db) ? db : signal::kSilenceDb;
}

}  // namespace

double top_hz(const EpisodeSound& sound) {
  const double wanted = std::max({3 * sound.chatter_hz, 10 * sound.tooth_hz, 1000.0});
  return std::min(std::ceil(wanted / 1000) * 1000, std::floor(sound.sample_rate_hz / 2000) * 1000);
}

SpectrumCurve spectrum_of(const EpisodeSound& sound) {
  SpectrumCurve curve;
  if (!(sound.sample_rate_hz > 0)) return curve;
  const std::size_t size = size_of(kCurveWindowS, sound.sample_rate_hz);
  if (sound.samples.size() < size) return curve;
  signal::Spectrum spectrum(size, sound.sample_rate_hz);
  std::vector<double> power(spectrum.size_bins(), 0.0);
  const double after_s = std::max(0.0, sound.alert_s - sound.from_s);
  const std::size_t last = sound.samples.size() - size;
  const std::size_t first = std::min(static_cast<std::size_t>(after_s * sound.sample_rate_hz), last);
  const std::size_t until = std::min(last, first + static_cast<std::size_t>(kCurveS * sound.sample_rate_hz));
  int frames = 0;
  for (std::size_t at = first; at <= until; at += size / 2, ++frames) {
    spectrum.process(std::span<const float>(sound.samples).subspan(at, size));
    for (std::size_t i = 0; i < power.size(); ++i) power[i] += static_cast<double>(spectrum.power()[i]);
  }
  curve.bin_hz = spectrum.bin_hz();
  for (const double sum : power) curve.dbfs.push_back(shown_db(sum / frames));
  return curve;
}

Spectrogram spectrogram_of(const EpisodeSound& sound, double to_hz, int columns, int rows) {
  Spectrogram image;
  if (!(sound.sample_rate_hz > 0) || columns < 1 || rows < 1) return image;
  const std::size_t size = size_of(kImageWindowS, sound.sample_rate_hz);
  if (sound.samples.size() < size) return image;
  signal::Spectrum spectrum(size, sound.sample_rate_hz);
  image.columns = columns;
  image.rows = rows;
  image.from_s = sound.from_s;
  image.to_s = sound.from_s + static_cast<double>(sound.samples.size()) / sound.sample_rate_hz;
  image.to_hz = to_hz;
  const double bins_a_row = to_hz / rows / spectrum.bin_hz();
  std::vector<double> level(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows));
  double loudest = signal::kSilenceDb;
  for (int x = 0; x < columns; ++x) {
    const double share = columns > 1 ? static_cast<double>(x) / (columns - 1) : 0;
    const auto at = static_cast<std::size_t>(share * static_cast<double>(sound.samples.size() - size));
    spectrum.process(std::span<const float>(sound.samples).subspan(at, size));
    for (int y = 0; y < rows; ++y) {
      // The strongest bin of a row: a line must not vanish between two rows.
      const auto from = static_cast<std::size_t>((rows - 1 - y) * bins_a_row);
      const auto to = std::max(from + 1, static_cast<std::size_t>((rows - y) * bins_a_row));
      float most = 0;
      for (std::size_t bin = from; bin < std::min(to, spectrum.size_bins()); ++bin) most = std::max(most, spectrum.power()[bin]);
      const double db = shown_db(static_cast<double>(most));
      level[static_cast<std::size_t>(y) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(x)] = db;
      loudest = std::max(loudest, db);
    }
  }
  for (const double db : level) {
    image.darkness.push_back(static_cast<unsigned char>(std::lround(255 * std::clamp((db - loudest + kShownDb) / kShownDb, 0.0, 1.0))));
  }
  return image;
}

}  // namespace hushmill::report
