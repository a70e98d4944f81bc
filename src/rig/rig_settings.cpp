#include "rig/rig_settings.hpp"

#include "text/within.hpp"

namespace hushmill::rig {

void check(const RigSettings& settings) {
  cutting::check(settings.model);
  text::within("sample_rate_hz", settings.sample_rate_hz, 16000, 192000);
  text::within("spindle_rpm", settings.start.spindle_rpm, kSlowestRpm, kFastestRpm);
  text::within("depth_mm", settings.start.depth_mm, 0, 100);
  text::within("radial_mm", settings.start.radial_mm, 0, settings.model.cutter.diameter_mm);
  text::within("feed_per_tooth_mm", settings.start.feed_per_tooth_mm, 0, 2);
  text::within("entry_revolutions", settings.entry_revolutions, 0.1, 1e5);
  text::within("exit_revolutions", settings.exit_revolutions, 0.1, 1e5);
  text::within("path.corner_mm", settings.path.corner_mm, 0.01, 1e3);
  text::within("path.side_mm", settings.path.side_mm, 2.0 * settings.path.corner_mm, 1e5);
  text::within("spindle.speed_error_percent", settings.spindle.speed_error_percent, -10, 10);
  text::within("spindle.droop_rpm_per_n_m", settings.spindle.droop_rpm_per_n_m, 0, 1e4);
  text::within("spindle.most_droop_percent", settings.spindle.most_droop_percent, 0, 10);
  text::within("spindle.ramp_rpm_per_s", settings.spindle.ramp_rpm_per_s, 1, 1e6);
  text::within("sound.healthy_dbfs", settings.sound.healthy_dbfs, -90, 0);
  text::within("sound.tool_db", settings.sound.tool_db, -200, 40);
  text::within("sound.part_db", settings.sound.part_db, -200, 40);
  text::within("sound.frame_db", settings.sound.frame_db, -200, 40);
  text::within("sound.noise_db", settings.sound.noise_db, -200, 40);
  text::within("sound.idle_dbfs", settings.sound.idle_dbfs, -300, 0);
  text::within("sound.room_dbfs", settings.sound.room_dbfs, -300, 0);
  text::within("sound.force_noise", settings.sound.force_noise, 0, 1);
  text::within("sound.reverberation_s", settings.sound.reverberation_s, 0, 10);
}

void remount(RigSettings& settings, const cutting::MountingChange& change) {
  settings.model = cutting::remounted(settings.model, settings.mounting, change);
  settings.mounting = cutting::changed(settings.mounting, change);
}

RigSettings bracket_wall() {
  RigSettings settings;
  settings.start = {.spindle_rpm = 6800, .depth_mm = 1.2, .radial_mm = 6, .feed_per_tooth_mm = 0.06};
  return settings;
}

RigSettings tray_pocket() {
  RigSettings settings;
  settings.model = tray_pocket_model();
  settings.mounting = tray_pocket_mounting();
  settings.start = {.spindle_rpm = 8400, .depth_mm = 1.0, .radial_mm = 2, .feed_per_tooth_mm = 0.05};
  settings.path.kind = Path::pocket;
  return settings;
}

RigSettings tray_even() {
  RigSettings settings = tray_pocket();
  settings.path.kind = Path::even_pocket;
  return settings;
}

RigSettings rail_slot() {
  RigSettings settings;
  settings.model = rail_slot_model();
  settings.mounting = rail_slot_mounting();
  settings.start = {.spindle_rpm = 5000, .depth_mm = 0.5, .radial_mm = 16, .feed_per_tooth_mm = 0.05};
  settings.path.kind = Path::slot;
  settings.sound.healthy_dbfs = -32;  // its chatter is the loudest of the three: room for it
  return settings;
}

}  // namespace hushmill::rig
