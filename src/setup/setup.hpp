// A set-up as a person writes it down: tool, hold, machine and material, each in a file of its own.
//
// Reads files, so it stands above the ground floor. Every complaint is one line that names the file, the field, the
// value and what would be right; a field that nobody knows is refused too, since it is most often a slip of the pen.
#pragma once

#include <filesystem>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"
#include "cutting/mounting.hpp"
#include "text/outside_text.hpp"

namespace hushmill::setup {

/// What is wrong with a set-up file, in one line for a person.
class BadSetup : public std::invalid_argument {
 public:
  explicit BadSetup(const std::string& line) : std::invalid_argument(text::plain_line(line)) {}
};

/// How the tool goes through the part: along a wall, in a slot, round a pocket with sharp inside corners, or round the
/// same pocket at constant engagement.
enum class Way { wall, slot, pocket, even_pocket };

/// What was tapped.
enum class TappedOn { tool, part, machine };

/// A mode from a tap test. A microphone gives no stiffness.
struct TappedMode {
  TappedOn on = TappedOn::tool;
  double natural_hz = 0;
  double damping_ratio = 0;
  double natural_hz_spread = 0;     ///< standard error; 0 where nobody wrote one down
  double damping_ratio_spread = 0;
  int taps_agreeing = 0;
};

struct Setup {
  std::string title, tool, hold, machine, material;  ///< names for a person
  cutting::CutModel model;
  cutting::Mounting mounting;  ///< that the modes of the model belong to
  cutting::Milling milling = cutting::Milling::climb;
  Way way = Way::wall;
  double radial_mm = 0;
  double depth_mm = 0;
  double feed_per_tooth_mm = 0;
  double spindle_rpm = 0;
  double min_rpm = 0;  ///< of the spindle
  double max_rpm = 0;
  std::optional<double> tool_max_rpm;                          ///< the lower of tool and holder
  std::optional<double> surface_from_m_min, surface_to_m_min;  ///< tool maker's or handbook's range for the material
  double knob_step_percent = 10;
  std::vector<TappedMode> taps;  ///< kept by `hushmill tap --save`
  std::vector<std::string> notes;  ///< where the numbers come from and how far they can be trusted
};

/// Throws BadSetup.
Setup load_setup(const std::filesystem::path& file);

}  // namespace hushmill::setup
