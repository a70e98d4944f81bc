// The options that describe the cut, the same in every command that needs them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "advise/advice.hpp"
#include "app/option_text.hpp"
#include "live/cut_card.hpp"
#include "setup/setup.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// The cut as entered on the command line. Limits that are not given do not apply.
struct CutOptions {
  double spindle_rpm = 0;
  int flutes = 0;
  std::vector<TimedValue> rpm_at;  ///< in order of time
  std::optional<double> programmed_rpm;
  std::optional<double> diameter_mm;
  std::optional<double> radial_mm;
  std::optional<double> depth_mm;
  std::optional<advise::Milling> milling;
  std::optional<double> min_rpm;
  std::optional<double> max_rpm;
  std::optional<double> tool_max_rpm;
  std::optional<double> holder_max_rpm;
  std::optional<Range> surface_m_min;          ///< needs the diameter
  std::optional<Range> override_percent_range;
  std::optional<double> spindle_kw;            ///< bars speeds when width, depth, feed and the next are known
  std::optional<double> cutting_n_mm2;
  std::vector<advise::Tap> taps;
  std::vector<setup::TappedMode> kept_taps;  ///< of tool and part, from a set-up file; they are among `taps`, too
  bool unequal_pitch = false;
  std::vector<double> pitch_deg;  ///< from flute to flute, one angle a flute; empty: all equal or not known
  std::optional<double> feed_mm_min;
  double knob_step_percent = 10;
  std::optional<double> damping_ratio;
  std::vector<advise::Trial> tried;
  bool inches = false;  ///< lengths or feeds were typed in inches: they are shown so, too

  /// How often the cutter looks the same in a revolution: its flute count unless pitch angles say otherwise. The lines of the
  /// cut, and the family's, stand this many rotation frequencies apart.
  int comb_flutes() const;
  /// The question to the adviser about chatter at that frequency, but for what else was heard. Damping that was not entered is
  /// that of the kept tap nearest to the chatter, where one is near enough to be its mode.
  advise::Question question(double chatter_hz) const;
  /// The same as a card for the dashboard.
  live::CutCard card() const;
};

/// The words as typed; they become CutOptions after parsing, so that every complaint is ours.
struct CutOptionTexts {
  std::optional<std::string> rpm, flutes, programmed_rpm, diameter_mm, radial_mm, depth_mm, milling, min_rpm, max_rpm,
      tool_max_rpm, holder_max_rpm, spindle_kw, cutting_n_mm2, surface_m_min, override_range, diameter_in, radial_in,
      depth_in, feed_in_min, surface_ft_min, feed_mm_min, knob_step_percent, damping_ratio, pitch_deg, taps;
  std::vector<std::string> rpm_at, tried, tried_sessions, tap_tool, tap_part;
  std::string data;  ///< the journal's folder, for those sessions; empty: the user's own
  bool unequal_pitch = false;
};

/// Headings of these options in the help.
inline constexpr const char* kCutGroup = "The cut";
inline constexpr const char* kMoreOfCutGroup = "More about the cut (all may be left out)";

enum class CutNeeds { speed_and_flutes, nothing };

void add_cut_options(CLI::App& command, CutOptionTexts& texts, CutNeeds needs, bool speed_changes);

/// Throws UsageError unless both were typed, and are right. `or_else`: what else would be right, with a comma behind it.
void need_speed_and_flutes(const CutOptionTexts& texts, const std::string& or_else);

/// Checks and converts. `default_rpm` and `default_flutes` stand in where CutNeeds::nothing let them be left out.
CutOptions cut_options(const CutOptionTexts& texts, double default_rpm = 0, int default_flutes = 0);

}  // namespace hushmill::app
