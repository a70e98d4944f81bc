// One long spectrum of a finished recording, by FFTW: the truth that the engine's own short frames are held against.
#pragma once

#include <vector>

namespace hushmill::test {

class LongSpectrum {
 public:
  /// Of the part between two times; Hann window.
  LongSpectrum(const std::vector<float>& samples, double sample_rate_hz, double from_s, double to_s);

  /// Frequency of the strongest bin between two frequencies.
  double strongest_hz(double from_hz, double to_hz) const;
  /// Highest power within ±`within_hz`, any unit.
  double power_near(double hz, double within_hz) const;
  double bin_hz() const { return bin_hz_; }

 private:
  std::size_t bin(double hz) const;
  double bin_hz_;
  std::vector<double> power_;
};

/// The chatter line, found without the engine: the strongest line farther than a twentieth of the tooth spacing from
/// every tooth harmonic.
double off_tooth_line_hz(const LongSpectrum& spectrum, double tooth_hz, double to_hz);

/// Distance from `hz` to the nearest of |±line + k·tooth|, k any whole number.
double family_distance_hz(double hz, double line_hz, double tooth_hz);

}  // namespace hushmill::test
