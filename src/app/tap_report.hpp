// What a tap test found, as a JSON document and as text for a person; and the pockets that a mode gives a cutter.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/json.hpp"
#include "setup/setup.hpp"
#include "tap/findings.hpp"

namespace hushmill::app {

struct TapReport {
  std::string source;
  double sample_rate_hz = 0;
  tap::Findings findings;
  std::optional<setup::TappedOn> on;  ///< none: nobody said what was tapped
  int flutes = 0;                     ///< 0: nobody said for which cutter
  bool cautions_told = false;         ///< before the taps: the text need not say them again
};

struct Pocket {
  double natural_hz = 0;
  int waves = 0;           ///< per tooth
  double spindle_rpm = 0;  ///< 60·f_n/(N·k)
};

/// Of the strongest mode within `from_rpm` and `to_rpm`, ten waves at most, fastest first.
std::vector<Pocket> pockets(const tap::Findings& findings, int flutes, double from_rpm, double to_rpm);

Json to_json(const TapReport& report);
std::string to_text(const TapReport& report);
/// What must be said before anybody lifts a hammer.
std::vector<std::string> tap_cautions();

}  // namespace hushmill::app
