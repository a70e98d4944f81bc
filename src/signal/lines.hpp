// Spectral lines of a Hann-windowed power spectrum: local maxima with their exact frequency and level.
//
// Frequency and level come from the ratio of the two highest bins, exact for a lone steady sine under a Hann window
// (derived from the window's transform). A line that stands on a stronger neighbour's skirt is left out.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace hushmill::signal {

struct Line {
  double hz = 0;
  double power = 0;  ///< a full-scale sine is 1
  std::size_t bin = 0;
  double over = 0;   ///< power over the background at that bin, a ratio
};

struct LineSettings {
  double least_ratio = 6.3;  ///< power over background, 8 dB
  double from_hz = 40;
  double to_hz = 1e9;
  std::size_t most = 96;
};

/// Finds lines in `power` above `background` (same bins) and puts them into `lines`, strongest first. Allocates only
/// while `lines` has less room than `most`.
void find_lines(std::span<const float> power, std::span<const float> background, double bin_hz,
                const LineSettings& settings, std::vector<Line>& lines);

/// Exact frequency in bins and power of a sine seen in bins k−1, k, k+1 of a Hann spectrum.
struct Interpolated {
  double bin = 0;
  double power = 0;
};
Interpolated interpolate_hann(double power_before, double power_at, double power_after, std::size_t bin) noexcept;

}  // namespace hushmill::signal
