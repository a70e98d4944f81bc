// The spectrum reduced to one level a pixel column, the marks under it, and what the cursor reads. Pure.
#pragma once

#include <optional>
#include <vector>

#include "dashboard/axis.hpp"
#include "dashboard/tone.hpp"
#include "dashboard/words.hpp"
#include "listen/snapshot.hpp"

namespace hushmill::dashboard {

struct SpectrumMark {
  double hz = 0;
  listen::PeakRole role = listen::PeakRole::unexplained;
  int order = 0;
  double dbfs = 0;
  bool strongest = false;  ///< the strongest line of the chatter
};

struct SpectrumView {
  Axis hz;
  Axis dbfs;
  Tone chatter_tone = Tone::danger;  ///< abnormal while the chatter is only building
  std::vector<float> curve_dbfs;     ///< one per pixel column, the loudest bin in it
  std::vector<float> room_dbfs;      ///< the same for the room; empty while it is unknown
  std::vector<SpectrumMark> marks;   ///< tooth multiples by arithmetic; everything else as the engine named it
};

/// The stretch worth showing: some ten tooth multiples, and the chatter well inside; a round number of hertz.
double interesting_hz(const listen::Snapshot& snapshot) noexcept;

/// `again` gives its memory to the answer, so that frame after frame needs none.
SpectrumView prepare_spectrum(const listen::Snapshot& snapshot, const Axis& hz, int pixel_columns, SpectrumView again = {});

/// "1 372 Hz · −31 dB · 0.57 beyond tooth multiple 4 · F6 −31 cents".
/// With shorter spellings after it, for narrow places.
Spellings read_out(const listen::Snapshot& snapshot, double hz);
/// The same of a moment of the spectrogram, in which that level was heard: "3.2 s ago · 1 372 Hz · −31 dB · …".
Spellings read_past(const listen::Snapshot& now, double hz, double ago_s, std::optional<double> dbfs);
/// The next named line upward, after the last the first again; none when there is none in this stretch.
std::optional<double> next_line_hz(const listen::Snapshot& snapshot, const Axis& hz, std::optional<double> after_hz);

}  // namespace hushmill::dashboard
