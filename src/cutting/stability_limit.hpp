// The depth limit of a cut at one spindle speed, whichever method found it. A plain value.
#pragma once

namespace hushmill::cutting {

/// How a cut turns unstable: by a new frequency, or by every other tooth (period doubling).
enum class ChatterKind { hopf, period_doubling };

struct StabilityLimit {
  double spindle_rpm = 0;
  double depth_mm = 0;    ///< deepest stable axial depth; the search's greatest depth if `open`
  bool open = false;      ///< no limit was found up to there
  double chatter_hz = 0;  ///< strongest line of the vibration at the limit; 0 if `open`
  ChatterKind kind = ChatterKind::hopf;
};

}  // namespace hushmill::cutting
