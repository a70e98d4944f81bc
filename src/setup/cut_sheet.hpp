// A cut as it was entered at the machine, in a file of its own: speed, cutter, depths, limits, and the names of machine, tool, hold,
// material and room. What the dashboard picks, edits and writes; the full set-up (setup.hpp) says how tool and part yield, too.
//
// Lengths and feeds are in mm or in inches, each field by its own ending (diameter_mm or diameter_in). Every complaint is one line
// that names file, line, field, value and what would be right.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace hushmill::setup {

/// Plain values; what is not given is not known.
struct CutSheet {
  std::string title, machine, tool, hold, material, room;
  double programmed_rpm = 0;
  double override_percent = 100;
  int flutes = 0;
  std::optional<double> diameter_mm{}, radial_mm{}, depth_mm{}, feed_mm_min{};
  std::string milling{};  ///< "climb", "conventional" or empty
  std::optional<double> min_rpm{}, max_rpm{}, tool_max_rpm{}, knob_step_percent{}, damping_ratio{};
};

enum class LengthUnit { millimetre, inch };

/// Reads a cut, or the [cut] of a full set-up file with its tool and machine. Throws BadSetup.
CutSheet load_cut_sheet(const std::filesystem::path& file);

/// The same as a file, in the units that were asked for. Reading it again gives the same values (inches to a millionth).
std::string cut_sheet_text(const CutSheet& sheet, LengthUnit unit);

/// Writes it whole or not at all, making the folder if needed. Throws BadSetup.
void save_cut_sheet(const CutSheet& sheet, LengthUnit unit, const std::filesystem::path& file);

/// "bracket-wall.toml" from a title: letters, digits and dashes.
std::string file_name_for(const std::string& title);

}  // namespace hushmill::setup
