// Writes the simulated machine to a sound file, with a text file beside it that says what was cut and what is true of it.
#pragma once

#include <filesystem>
#include <optional>

#include "app/rig_options.hpp"

namespace hushmill::app {

/// What is true of the sound that was written.
struct RigRecord {
  double duration_s = 0;
  std::optional<double> onset_s;  ///< the chatter part first passed 20 % of the energy in step with the rotation
  double chatter_share_at_end = 0;
};

/// Throws capture::BadInput or capture::OutsideFailed. The text file has the sound's name with .txt.
RigRecord write_rig(const RigOptions& options, double duration_s, const std::filesystem::path& out);

}  // namespace hushmill::app
