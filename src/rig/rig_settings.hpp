// All that makes a simulated machine: cut, machine, path and ears. A plain value; every default is invented.
#pragma once

#include <cstdint>

#include "cutting/cut_model.hpp"
#include "cutting/engagement.hpp"
#include "cutting/mounting.hpp"
#include "rig/example_models.hpp"
#include "rig/rig.hpp"

namespace hushmill::rig {

/// The way the tool goes. Every inside corner of the pocket raises the engaged arc by up to 90 degrees for a moment and
/// turns the feed by 90 degrees; the even pocket makes the same turns at constant engagement.
enum class Path { wall, slot, pocket, even_pocket };

struct PathSettings {
  Path kind = Path::wall;
  double side_mm = 45;   ///< from corner to corner
  double corner_mm = 6;  ///< length over which a corner comes and goes again, each
};

struct SpindleSettings {
  double speed_error_percent = 0;  ///< true speed over commanded speed, less one
  double droop_rpm_per_n_m = 5;    ///< speed lost per newton metre of cutting torque
  double most_droop_percent = 2;   ///< and never more than this: a drive that is loaded further trips or stalls, and no
                                   ///< cut goes on there to be heard
  double ramp_rpm_per_s = 6000;    ///< how fast it follows the knob
};

/// The parts of the sound, as levels in a healthy cut (regeneration off) at the start settings.
struct SoundSettings {
  double healthy_dbfs = -28;      ///< root mean square of the whole; a full-scale square wave is 0
  double tool_db = -14;           ///< share of tool and holder, relative to each other
  double part_db = -12;           ///< share of the part (none if it has no modes)
  double frame_db = 0;            ///< share of table, guards and column
  double noise_db = -6;           ///< share of the noise of chips forming, which comes and goes with the teeth
  double idle_dbfs = -58;         ///< spindle and drives out of the cut
  double room_dbfs = -64;         ///< steady noise of the room
  double force_noise = 0.02;      ///< standard deviation of the force over its mean, of white noise to 48 kHz
  double reverberation_s = 0.35;  ///< time to −60 dB; 0: no room at all
};

struct RigSettings {
  double sample_rate_hz = 48000;  ///< 16 000 to 192 000
  std::uint64_t seed = 1;
  cutting::CutModel model = bracket_wall_model();
  cutting::Mounting mounting = bracket_wall_mounting();  ///< that the modes of `model` belong to; see `remount`
  cutting::Milling milling = cutting::Milling::climb;
  RigControls start;
  double entry_revolutions = 8;  ///< from touching to full depth
  double exit_revolutions = 1;
  bool regeneration = true;  ///< false: each tooth meets a smooth surface, so nothing can chatter
  bool smooth_twin = false;  ///< also cut without regeneration beside it, so that the truth holds in corners too
  PathSettings path;
  SpindleSettings spindle;
  SoundSettings sound;
};

/// Throws std::invalid_argument naming the field, its value and what would be right.
void check(const RigSettings& settings);

/// Another stick-out, holder, overhang or support for this machine: its modes move by beam theory
/// (cutting/tool_beam.hpp). Throws std::invalid_argument.
void remount(RigSettings& settings, const cutting::MountingChange& change);

// Scenes of our own invention. Each starts in a healthy cut.

/// A bracket of aluminium, side wall, 12 mm end mill with four flutes: quiet at 1.2 mm and 6800 rpm, chatters at 3 mm;
/// 6000 rpm cures it.
RigSettings bracket_wall();
/// A tray, pocket with inside corners: quiet along the walls, chatters in its corners.
RigSettings tray_pocket();
/// The same pocket at constant engagement: the path rolls round its corners, so nothing changes there but the
/// direction. Quiet all the way round.
RigSettings tray_even();
/// A rail, full slots with four equal flutes, where the mean force is constant and chatter starts as a lone tone: quiet
/// at 0.5 mm and 5000 rpm, chatters at 1.4 mm; 4450 rpm cures it.
RigSettings rail_slot();

}  // namespace hushmill::rig
