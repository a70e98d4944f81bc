// The stability chart as a picture: depth limit over spindle speed, chatter frequency beneath, and trials as marks.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cutting/stability_chart.hpp"

namespace hushmill::picture {

/// A cut that was tried, in the shop or in the simulated machine.
struct TrialMark {
  double spindle_rpm = 0;
  double depth_mm = 0;
  bool chattered = false;
};

struct StabilityPicture {
  std::string title;               ///< what is cut
  std::string subtitle;            ///< tool, engagement, method
  std::vector<std::string> notes;  ///< where the numbers come from; wrapped beneath the chart
  cutting::StabilityChart chart;
  std::vector<TrialMark> trials;
  std::string trials_name = "trial";  ///< "simulated", say
  std::optional<TrialMark> now;       ///< the cut as entered, drawn as a ring
};

/// Writes .svg or .png by the ending. Throws std::invalid_argument (ending, fewer than two speeds) or
/// std::runtime_error (disk).
void write_stability_picture(const StabilityPicture& picture, const std::filesystem::path& file);

}  // namespace hushmill::picture
