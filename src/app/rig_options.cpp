#include "app/rig_options.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <limits>

#include "app/inch_words.hpp"
#include "app/shared_files.hpp"
#include "setup/setup.hpp"

namespace hushmill::app {

void add_rig_options(CLI::App& command, RigOptionTexts& texts, bool own_speed) {
  constexpr const char* kGroup = kRigGroup;
  auto* scene = command.add_option("--scene", texts.scene, "What is cut: bracket-wall, tray-pocket (its corners chatter), tray-even (the same pocket at constant engagement) or rail-slot")->type_name("SCENE")->group(kGroup)->capture_default_str();
  command.add_option("--setup", texts.setup, "Cut with this set-up file instead, as config/bracket-wall.toml")->type_name("SETUP.toml")->group(kGroup)->excludes(scene);
  command.add_option("--seed", texts.seed, "Seed of all chance in it, default 1")->type_name("N")->group(kGroup);
  if (own_speed) {
    command.add_option("--rpm", texts.rpm, "Spindle speed, default the scene's")->type_name("RPM")->group(kGroup);
    command.add_option("--depth-mm", texts.depth_mm, "Axial depth, default the scene's")->type_name("MM")->group(kGroup);
    command.add_option("--radial-mm", texts.radial_mm, "Radial depth, default the scene's")->type_name("MM")->group(kGroup);
    command.add_option("--depth-in", texts.depth_in, "Axial depth in inches")->type_name("IN")->group(kGroup);
    command.add_option("--radial-in", texts.radial_in, "Radial depth in inches")->type_name("IN")->group(kGroup);
    command.add_option("--rpm-at", texts.rpm_at, "Turn the speed: seconds and new speed; may be repeated")->type_name("S:RPM")->group(kGroup)->expected(1)->take_all();
  }
  command.add_option("--feed-per-tooth-mm", texts.feed_per_tooth_mm, "Chip load, default the scene's")->type_name("MM")->group(kGroup);
  command.add_option("--depth-at", texts.depth_at, "Change the axial depth: seconds and millimetres; may be repeated")->type_name("S:MM")->group(kGroup)->expected(1)->take_all();
  command.add_option("--radial-at", texts.radial_at, "Change the radial depth: seconds and millimetres; may be repeated")->type_name("S:MM")->group(kGroup)->expected(1)->take_all();
  command.add_option("--feed-per-tooth-in", texts.feed_per_tooth_in, "Chip load in inches")->type_name("IN")->group(kGroup);
  command.add_option("--depth-at-in", texts.depth_at_in, "Change the axial depth: seconds and inches; may be repeated")->type_name("S:IN")->group(kGroup)->expected(1)->take_all();
  command.add_option("--radial-at-in", texts.radial_at_in, "Change the radial depth: seconds and inches; may be repeated")->type_name("S:IN")->group(kGroup)->expected(1)->take_all();
  command.add_option("--air-s", texts.air_s, "Seconds of air before the tool touches, default 2")->type_name("S")->group(kGroup);
  command.add_option("--speed-error-percent", texts.speed_error_percent, "True speed over entered speed less one, default 0")->type_name("PERCENT")->group(kGroup);
  command.add_option("--sample-rate-hz", texts.rate_hz, "Sample rate of the simulated sound, default 48000")->type_name("HZ")->group(kGroup);
  add_mounting_options(command, texts.mounting, std::string(kMountingGroup) + " (source rig; default as the scene or set-up file says)");
}

namespace {
// The same tool, hold, machine and material that the stability chart is computed for.
void use_setup(rig::RigSettings& settings, const std::string& file) {
  const auto setup = setup::load_setup(with_installed(file));
  settings.model = setup.model;
  settings.mounting = setup.mounting;
  settings.milling = setup.milling;
  settings.start = {.spindle_rpm = setup.spindle_rpm, .depth_mm = setup.depth_mm, .radial_mm = setup.radial_mm, .feed_per_tooth_mm = setup.feed_per_tooth_mm};
  switch (setup.way) {
    case setup::Way::wall: settings.path.kind = rig::Path::wall; break;
    case setup::Way::slot: settings.path.kind = rig::Path::slot; break;
    case setup::Way::pocket: settings.path.kind = rig::Path::pocket; break;
    case setup::Way::even_pocket: settings.path.kind = rig::Path::even_pocket; break;
  }
}
}  // namespace

RigOptions rig_options(const RigOptionTexts& texts, std::optional<double> entered_rpm, const std::vector<TimedValue>& rpm_at) {
  RigOptions options;
  if (texts.scene == "bracket-wall")
    options.settings = rig::bracket_wall();
  else if (texts.scene == "tray-pocket")
    options.settings = rig::tray_pocket();
  else if (texts.scene == "tray-even")
    options.settings = rig::tray_even();
  else if (texts.scene == "rail-slot")
    options.settings = rig::rail_slot();
  else
    throw UsageError("--scene is '" + texts.scene.substr(0, 60) + "'; bracket-wall, tray-pocket, tray-even or rail-slot would be right");

  auto& s = options.settings;
  if (!texts.setup.empty()) use_setup(s, texts.setup);
  const auto remount = mounting_change(texts.mounting, s.model, s.mounting);
  options.mounting_note = mounting_note(s.model, s.mounting, remount);
  rig::remount(s, remount);
  const double widest_mm = s.model.cutter.diameter_mm;
  const auto number = [](const std::optional<std::string>& text, const char* name, double low, double high, double& value) {
    if (text) value = parse_number(name, *text, low, high);
  };
  const auto inches = [](const std::optional<std::string>& text, const char* name, const std::optional<std::string>& twin, double low, double high, double& value_mm) {
    if (!text) return;
    if (twin) throw UsageError(std::string(name) + " and its twin in millimetres are both given; one of them would be right");
    value_mm = kMmPerInch * parse_number(name, *text, low / kMmPerInch, high / kMmPerInch);
  };
  if (texts.seed) s.seed = static_cast<std::uint64_t>(parse_whole("--seed", *texts.seed, 0, std::numeric_limits<int>::max()));
  if (entered_rpm) {
    if (*entered_rpm < rig::kSlowestRpm || *entered_rpm > rig::kFastestRpm)
      throw UsageError("--rpm is " + plain(*entered_rpm) + "; " + plain(rig::kSlowestRpm) + " to " + plain(rig::kFastestRpm) +
                       " would be right for the simulated machine");
    s.start.spindle_rpm = *entered_rpm;
  }
  number(texts.rpm, "--rpm", rig::kSlowestRpm, rig::kFastestRpm, s.start.spindle_rpm);
  number(texts.depth_mm, "--depth-mm", 0, 100, s.start.depth_mm);
  number(texts.radial_mm, "--radial-mm", 0, widest_mm, s.start.radial_mm);
  number(texts.feed_per_tooth_mm, "--feed-per-tooth-mm", 0.001, 2, s.start.feed_per_tooth_mm);
  inches(texts.depth_in, "--depth-in", texts.depth_mm, 0, 100, s.start.depth_mm);
  inches(texts.radial_in, "--radial-in", texts.radial_mm, 0, widest_mm, s.start.radial_mm);
  inches(texts.feed_per_tooth_in, "--feed-per-tooth-in", texts.feed_per_tooth_mm, 0.001, 2, s.start.feed_per_tooth_mm);
  number(texts.rate_hz, "--sample-rate-hz", 16000, 192000, s.sample_rate_hz);
  number(texts.speed_error_percent, "--speed-error-percent", -10, 10, s.spindle.speed_error_percent);
  double air_s = 2;
  number(texts.air_s, "--air-s", 0, 3600, air_s);
  if (air_s > 0) {
    s.start.in_cut = false;
    options.changes.push_back({.at_s = air_s, .spindle_rpm = {}, .depth_mm = {}, .radial_mm = {}, .in_cut = true});
  }
  const auto change = [&](const TimedValue& timed) -> RigChange& {
    options.changes.push_back({});
    options.changes.back().at_s = timed.at_s;
    return options.changes.back();
  };
  for (const auto& timed : rpm_at) change(timed).spindle_rpm = timed.value;
  for (const auto& text : texts.rpm_at) {
    const auto timed = parse_timed("--rpm-at", text, rig::kSlowestRpm, rig::kFastestRpm);
    change(timed).spindle_rpm = timed.value;
  }
  for (const auto& text : texts.depth_at) {
    const auto timed = parse_timed("--depth-at", text, 0, 100);
    change(timed).depth_mm = timed.value;
  }
  for (const auto& text : texts.radial_at) {
    const auto timed = parse_timed("--radial-at", text, 0, widest_mm);
    change(timed).radial_mm = timed.value;
  }
  for (const auto& text : texts.depth_at_in) {
    const auto timed = parse_timed("--depth-at-in", text, 0, 100 / kMmPerInch);
    change(timed).depth_mm = kMmPerInch * timed.value;
  }
  for (const auto& text : texts.radial_at_in) {
    const auto timed = parse_timed("--radial-at-in", text, 0, widest_mm / kMmPerInch);
    change(timed).radial_mm = kMmPerInch * timed.value;
  }
  std::stable_sort(options.changes.begin(), options.changes.end(), [](const auto& a, const auto& b) { return a.at_s < b.at_s; });
  return options;
}

std::unique_ptr<ScriptedRig> make_rig_source(const RigOptionTexts& texts, const CutOptions& cut) {
  auto options = rig_options(texts, cut.spindle_rpm, cut.rpm_at);
  auto& start = options.settings.start;
  if (cut.depth_mm) start.depth_mm = *cut.depth_mm;
  if (cut.radial_mm) start.radial_mm = *cut.radial_mm;
  if (cut.milling) options.settings.milling = *cut.milling == advise::Milling::climb ? cutting::Milling::climb : cutting::Milling::conventional;
  auto& cutter = options.settings.model.cutter;
  if (cutter.flutes != cut.flutes) {  // what was said of each flute says nothing of another number of them
    cutter.flutes = cut.flutes;
    cutter.pitch_deg.clear();
    cutter.runout_um.clear();
  }
  const bool planned = cut.depth_mm || cut.radial_mm || !texts.depth_at.empty() || !texts.radial_at.empty() || !texts.depth_at_in.empty() || !texts.radial_at_in.empty();
  const bool straight = texts.scene == "bracket-wall" || texts.scene == "rail-slot";  // the tray has its corners
  if (!planned && texts.setup.empty() && straight) {
    constexpr double kDeeperAtS = 6;
    options.changes.push_back({});
    options.changes.back().at_s = kDeeperAtS;
    options.changes.back().depth_mm = texts.scene == "rail-slot" ? 1.4 : 3.0;
  }
  rig::check(options.settings);
  return std::make_unique<ScriptedRig>(options.settings, options.changes);
}

}  // namespace hushmill::app
