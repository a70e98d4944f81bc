// The options that say what the simulated machine cuts.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/cut_options.hpp"
#include "app/option_text.hpp"
#include "app/rig_mounting.hpp"
#include "app/scripted_rig.hpp"
#include "rig/rig_settings.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// Heading of these options in the help.
inline constexpr const char* kRigGroup = "The simulated machine (source rig)";

struct RigOptionTexts {
  std::string scene = "bracket-wall";
  std::string setup;  ///< a set-up file instead of a scene
  std::optional<std::string> seed, rpm, depth_mm, radial_mm, feed_per_tooth_mm, depth_in, radial_in, feed_per_tooth_in, rate_hz, speed_error_percent, air_s;
  std::vector<std::string> rpm_at, depth_at, radial_at, depth_at_in, radial_at_in;
  MountingTexts mounting;
};

struct RigOptions {
  rig::RigSettings settings;
  std::vector<RigChange> changes;  ///< in order of time
  std::string mounting_note;       ///< what was changed of how tool and part stand; may be empty
};

/// `own_speed`: the command has no --rpm of its own.
void add_rig_options(CLI::App& command, RigOptionTexts& texts, bool own_speed);

/// `entered_rpm`: the speed that the cut card says, for commands with a --rpm of their own.
RigOptions rig_options(const RigOptionTexts& texts, std::optional<double> entered_rpm, const std::vector<TimedValue>& rpm_at);

/// The rig behind a cut card: its speed, depth and width are the card's where given. Without any change asked for, the
/// bracket-wall and rail-slot scenes go from a healthy cut to chatter by a deeper pass after six seconds.
std::unique_ptr<ScriptedRig> make_rig_source(const RigOptionTexts& texts, const CutOptions& cut);

}  // namespace hushmill::app
