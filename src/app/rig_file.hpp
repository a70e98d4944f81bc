// Writes the simulated machine to a sound file, with a text file beside it that says what was cut and what is true of it.
#pragma once

#include <filesystem>
#include <optional>
#include <vector>

#include "app/rig_options.hpp"

namespace hushmill::app {

struct Stretch {
  double start_s = 0, end_s = 0;
};

/// What is true of the sound that was written.
struct RigRecord {
  double duration_s = 0;
  std::vector<Stretch> chatter;  ///< where rig::RigTruth::chatters held, by comparison with the twin that cannot
                                 ///< chatter; gaps of up to 50 ms closed
  std::optional<double> onset_s() const {
    return chatter.empty() ? std::nullopt : std::optional<double>(chatter.front().start_s);
  }
};

/// Throws capture::BadInput or capture::OutsideFailed. The text file has the sound's name with .txt.
RigRecord write_rig(const RigOptions& options, double duration_s, const std::filesystem::path& out);

}  // namespace hushmill::app
