// All that the screen may know of one moment of listening. A plain value: copied across threads, never shared.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "listen/verdict.hpp"

namespace hushmill::listen {

/// One spectral peak of the long window.
struct Peak {
  double hz = 0;             ///< interpolated well below one bin
  double dbfs = 0;           ///< power; a full-scale sine is 0
  double above_floor_db = 0; ///< over the larger of the local floor and the learned room
  PeakRole role = PeakRole::unexplained;
  int order = 0;  ///< tooth: multiple of the tooth frequency; rotation: multiple of the rotation frequency;
                  ///< chatter: k in |±f_c + k·f_tooth|
};

/// The chatter of this moment; also filled while it is only building.
struct ChatterNow {
  double chatter_hz = 0;     ///< strongest line of the family
  double dbfs = 0;           ///< level of that line
  double share = 0;          ///< 0 to 1: family's part of the sound energy above the room
  double growth_db_s = 0;    ///< positive while it grows
  double start_s = 0;        ///< where the tone rose
  std::optional<double> alert_s;  ///< when the alarm was raised; none while building
  ChatterKind kind = ChatterKind::hopf;
};

/// State of the engine after the sample numbered `sample`.
struct Snapshot {
  std::int64_t sample = 0;  ///< samples heard so far: the only clock
  double t_s = 0;           ///< sample / sample rate
  double sample_rate_hz = 0;

  Verdict verdict = Verdict::no_cut;
  double confidence = 0;     ///< 0 to 1, of the verdict
  double since_s = 0;        ///< when this verdict began
  std::optional<ChatterNow> chatter;

  double entered_rpm = 0;
  int flutes = 0;
  std::optional<double> measured_rpm;     ///< from the sound alone; none when it cannot be told
  std::optional<double> rpm_uncertainty;  ///< one standard deviation, rev/min
  double tooth_passing_hz = 0;            ///< from the measured speed, else from the entered one

  double level_dbfs = -200;  ///< mean power over the last hop
  double peak_dbfs = -200;   ///< largest sample since the snapshot before
  std::uint64_t clipped_samples = 0;  ///< since the start
  std::uint64_t bad_samples = 0;      ///< NaN, infinite or absurd, silenced, since the start

  bool room_known = false;   ///< at least a second of room was heard before the cut
  double bin_hz = 0;         ///< spacing of the two spectra below, first entry at 0 Hz
  std::vector<float> spectrum_dbfs;  ///< middle window, a full-scale sine reads 0
  std::vector<float> room_dbfs;      ///< the learned room on the same bins; empty while unknown
  std::vector<Peak> peaks;           ///< strongest first, at most 48
};

}  // namespace hushmill::listen
