// Spectrum and spectrogram of an episode's sound, as numbers to draw. Pure.
#pragma once

#include <vector>

#include "report/content.hpp"

namespace hushmill::report {

struct SpectrumCurve {
  double bin_hz = 0;
  std::vector<double> dbfs;  ///< mean power over the stretch, a full-scale sine reads 0
};

/// The half second from the alert on (or what there is of it), windows of about 170 ms (Hann), half overlapped. Empty for less than
/// one window.
SpectrumCurve spectrum_of(const EpisodeSound& sound);

struct Spectrogram {
  int columns = 0, rows = 0;              ///< rows from the highest frequency down
  double from_s = 0, to_s = 0, to_hz = 0;
  std::vector<unsigned char> darkness;    ///< 0 white to 255 black, over 50 dB below the loudest
};

/// Windows of about 43 ms (Hann) up to `to_hz`.
Spectrogram spectrogram_of(const EpisodeSound& sound, double to_hz, int columns, int rows);

/// Up to where pictures go: three times the chatter or ten teeth, at most half the rate, in whole thousands.
double top_hz(const EpisodeSound& sound);

}  // namespace hushmill::report
