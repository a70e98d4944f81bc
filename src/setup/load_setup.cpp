#include <cmath>
#include <sstream>
#include <utility>

#include "cutting/mode_fit.hpp"
#include "cutting/tool_beam.hpp"
#include "setup/response_file.hpp"
#include "setup/setup.hpp"
#include "setup/sheet.hpp"
#include "setup/taps.hpp"

namespace hushmill::setup {
namespace {

using cutting::Mode;

cutting::Milling milling_of(Sheet& sheet) {
  return sheet.choice("milling", {"climb", "conventional"}) == "climb" ? cutting::Milling::climb
                                                                       : cutting::Milling::conventional;
}

Way way_of(Sheet& sheet, const Setup& setup) {
  if (!sheet.maybe_text("way")) return setup.radial_mm >= setup.model.cutter.diameter_mm ? Way::slot : Way::wall;
  const std::string word = sheet.choice("way", {"wall", "slot", "pocket", "even-pocket"});
  if (word == "slot") return Way::slot;
  if (word == "pocket") return Way::pocket;
  return word == "wall" ? Way::wall : Way::even_pocket;
}

std::vector<Mode> modes_of(Sheet& sheet, const std::string& key, bool with_stiffness) {
  std::vector<Mode> modes;
  for (Sheet& entry : sheet.parts(key)) {
    Mode mode{entry.number("natural_hz", 1, 20000), entry.number("damping_ratio", 1e-5, 0.5), 0};
    // Taps give no stiffness: equal moving mass is assumed until a known depth scales all of them.
    mode.stiffness_n_m =
        with_stiffness ? entry.number("stiffness_n_m", 1e2, 1e12) : 1e7 * std::pow(mode.natural_hz / 1000, 2);
    entry.refuse_the_rest();
    modes.push_back(mode);
  }
  return modes;
}

void read_material(const std::filesystem::path& file, Setup& setup) {
  Sheet sheet(file);
  setup.material = sheet.text("name");
  cutting::CuttingForce& force = setup.model.force;
  force.tangential_n_mm2 = sheet.number("tangential_n_mm2", 1, 20000);
  force.radial_n_mm2 = sheet.number("radial_n_mm2", -20000, 20000);
  force.tangential_edge_n_mm = sheet.number("tangential_edge_n_mm", 0, 1000);
  force.radial_edge_n_mm = sheet.number("radial_edge_n_mm", 0, 1000);
  force.process_damping_n_m = sheet.maybe_number("process_damping_n_m", 0, 1e9).value_or(0);
  setup.notes.push_back("Force coefficients of " + setup.material + ": " + sheet.text("source"));
  const std::vector<double> spread = sheet.numbers("tangential_spread_n_mm2", 1, 20000);
  if (!spread.empty()) {
    if (spread.size() != 2 || spread[0] > spread[1])
      sheet.refuse("tangential_spread_n_mm2", "another list", "[least, most]");
    std::ostringstream line;
    line << "Tangential coefficients for this material range from " << spread[0] << " to " << spread[1]
         << " N/mm2 in the literature; depth limits move in proportion.";
    setup.notes.push_back(line.str());
  }
  setup.surface_from_m_min = sheet.maybe_number("surface_from_m_min", 0.1, 20000);
  setup.surface_to_m_min = sheet.maybe_number("surface_to_m_min", setup.surface_from_m_min.value_or(0.1), 20000);
  if (const auto source = sheet.maybe_text("surface_source")) setup.notes.push_back("Surface speeds: " + *source);
  sheet.refuse_the_rest();
}

void read_machine(const std::filesystem::path& file, Setup& setup) {
  Sheet sheet(file);
  setup.machine = sheet.text("name");
  setup.min_rpm = sheet.number("min_rpm", 10, 200000);
  setup.max_rpm = sheet.number("max_rpm", setup.min_rpm, 200000);
  setup.knob_step_percent = sheet.maybe_number("knob_step_percent", 0.1, 50).value_or(10);
  cutting::ToolSupport& support = setup.mounting.tool.support;
  if (auto nose = sheet.part("nose")) {
    support.translation_n_m = nose->number("translation_n_m", 1e4, 1e12);
    support.rotation_n_m_rad = nose->number("rotation_n_m_rad", 1e2, 1e12);
    nose->refuse_the_rest();
  }
  sheet.refuse_the_rest();
}

void read_hold(const std::filesystem::path& file, Setup& setup) {
  Sheet sheet(file);
  setup.hold = sheet.text("name");
  cutting::Structure& structure = setup.model.structure;
  structure.part_x = modes_of(sheet, "part_x", true);
  structure.part_y = modes_of(sheet, "part_y", true);
  const auto measured_mm = sheet.maybe_number("measured_overhang_mm", 0.1, 5000);
  const auto overhang_mm = sheet.maybe_number("overhang_mm", 0.1, 5000);
  if (measured_mm.has_value() != overhang_mm.has_value()) {
    sheet.refuse(measured_mm ? "overhang_mm" : "measured_overhang_mm", "not there", "both overhangs or neither");
  }
  const auto support_n_m = sheet.maybe_number("support_n_m", 0, 1e12);
  for (auto* modes : {&structure.part_x, &structure.part_y}) {
    for (Mode& mode : *modes) {
      if (overhang_mm) mode = cutting::at_overhang(mode, *measured_mm, *overhang_mm);
      if (support_n_m) mode = cutting::with_support(mode, *support_n_m);
    }
  }
  setup.mounting.overhang_mm = overhang_mm.value_or(0);
  setup.mounting.part_support_n_m = support_n_m.value_or(0);
  sheet.refuse_the_rest();
}

void read_cutter(Sheet& sheet, Setup& setup) {
  cutting::Cutter& cutter = setup.model.cutter;
  cutter.flutes = sheet.whole_number("flutes", 1, 64);
  cutter.diameter_mm = sheet.number("diameter_mm", 0.01, 1000);
  cutter.helix_deg = sheet.number("helix_deg", 0, 75);
  cutter.pitch_deg = sheet.numbers("pitch_deg", 0.1, 360);
  cutter.runout_um = sheet.numbers("runout_um", -1000, 1000);
  try {
    cutting::check(cutter);
  } catch (const std::invalid_argument& error) {
    const std::string words = error.what();
    sheet.refuse_saying(words.find("runout") != std::string::npos ? "runout_um" : words.find("pitch") != std::string::npos ? "pitch_deg" : "flutes", words);
  }
}

/// A slip of unit or sign still has a best fit; it must not pass for a tool.
void check_fitted(const std::string& key, const Mode& mode) {
  if (mode.natural_hz >= 1 && mode.natural_hz <= 20000 && mode.damping_ratio >= 1e-5 && mode.damping_ratio <= 0.5 &&
      mode.stiffness_n_m >= 1e4 && mode.stiffness_n_m <= 1e12)
    return;
  std::ostringstream line;
  line << "the mode fitted along " << key << " is " << mode.natural_hz << " Hz, damping ratio " << mode.damping_ratio
       << ", " << mode.stiffness_n_m
       << " N/m, which is no tool; displacement over force in m/N, its imaginary part negative at a peak, would be right";
  throw std::invalid_argument(line.str());
}

std::vector<Mode> fitted(Sheet& tip, const std::string& key, Setup& setup) {
  if (!tip.has(key)) return {};
  const std::filesystem::path file = tip.file_beside(key);
  const std::vector<cutting::ResponsePoint> measured = load_response(file);
  try {
    const cutting::ModeFit fit = cutting::fit_modes(measured);
    for (const Mode& mode : fit.modes) check_fitted(key, mode);
    std::ostringstream line;
    line << "Tip along " << key << ": " << fit.modes.size() << (fit.modes.size() == 1 ? " mode" : " modes")
         << " fitted to " << file.filename().string() << ", misfit " << std::round(1000 * fit.misfit) / 10 << " %.";
    setup.notes.push_back(line.str());
    return fit.modes;
  } catch (const std::invalid_argument& error) {
    throw BadSetup(file.string() + ": " + error.what());
  }
}

/// The same bounds as for a change of stick-out by option; outside of them beam theory means nothing.
void check_stickout(const Sheet& sheet, const std::string& key, double value_mm, const cutting::ToolBeam& beam) {
  const double longest_mm = cutting::kLongestStickoutDiameters * beam.shank_diameter_mm;
  if (value_mm >= beam.flute_length_mm && value_mm <= longest_mm) return;
  std::ostringstream value;
  std::ostringstream right;
  value << value_mm;
  right << beam.flute_length_mm << " (the flutes stay out of the holder) to " << longest_mm << " ("
        << cutting::kLongestStickoutDiameters << " shank diameters)";
  sheet.refuse(key, value.str(), right.str());
}

void read_tip(Sheet& tip, Setup& setup) {
  const cutting::HeldTool& held = setup.mounting.tool;
  cutting::Structure& structure = setup.model.structure;
  const std::string from = tip.choice("from", {"modes", "response", "tap", "beam"});
  if (from == "beam") {
    const double damping_ratio = tip.number("damping_ratio", 1e-5, 0.5);
    structure.tool_x = structure.tool_y = {cutting::tip_mode(held.beam, held.support, held.stickout_mm, damping_ratio)};
    setup.notes.push_back("Tip by beam theory alone, not measured: a tap test would be better.");
    tip.refuse_the_rest();
    return;
  }
  const double measured_mm = tip.number("measured_at_mm", 0.1, 1000);
  check_stickout(tip, "measured_at_mm", measured_mm, held.beam);
  if (from == "response") {
    structure.tool_x = fitted(tip, "x", setup);
    structure.tool_y = fitted(tip, "y", setup);
  } else {
    structure.tool_x = modes_of(tip, "x", from == "modes");
    structure.tool_y = modes_of(tip, "y", from == "modes");
  }
  if (structure.tool_x.empty() && structure.tool_y.empty())
    tip.refuse("x", "not there", "modes along x, along y or both");
  if (from == "tap") {
    auto known = tip.part("known_limit");
    if (!known) tip.refuse("known_limit", "not there", "a cut that was just at its limit");
    const double depth_mm = known->number("depth_mm", 0.001, 100);
    const double radial_mm = known->number("radial_mm", 0.001, setup.model.cutter.diameter_mm);
    const double rpm = known->number("spindle_rpm", 10, 200000);
    const cutting::Milling milling = milling_of(*known);
    known->refuse_the_rest();
    const cutting::Structure part{.tool_x = {}, .tool_y = {}, .part_x = structure.part_x, .part_y = structure.part_y};
    structure.part_x.clear();
    structure.part_y.clear();
    try {
      setup.model = cutting::scaled_to_known_depth(setup.model, radial_mm, milling, rpm, depth_mm);
    } catch (const std::invalid_argument& error) {
      tip.refuse_saying("known_limit", std::string("known_limit: ") + error.what());
    }
    structure.part_x = part.part_x;
    structure.part_y = part.part_y;
    setup.notes.push_back("Tip stiffness is not measured but scaled so that the known limit comes out.");
  }
  tip.refuse_the_rest();
  if (measured_mm != held.stickout_mm) {
    cutting::HeldTool measured = held;
    measured.stickout_mm = measured_mm;
    for (auto* modes : {&structure.tool_x, &structure.tool_y}) {
      for (Mode& mode : *modes) mode = cutting::held_otherwise(mode, measured, held);
    }
    std::ostringstream line;
    line << "Tip measured at " << measured_mm << " mm of stick-out, carried over to " << held.stickout_mm
         << " mm by beam theory.";
    setup.notes.push_back(line.str());
  }
}

void read_tool(const std::filesystem::path& file, Setup& setup) {
  Sheet sheet(file);
  setup.tool = sheet.text("name");
  read_cutter(sheet, setup);
  setup.tool_max_rpm = sheet.maybe_number("max_rpm", 10, 200000);
  cutting::ToolBeam& beam = setup.mounting.tool.beam;
  beam.shank_diameter_mm = setup.model.cutter.diameter_mm;
  if (auto shank = sheet.part("shank")) {
    beam.shank_diameter_mm = shank->number("diameter_mm", 0.01, 1000);
    beam.flute_length_mm = shank->number("flute_length_mm", 0, 1000);
    beam.fluted_share = shank->maybe_number("fluted_share", 0.3, 1).value_or(beam.fluted_share);
    beam.youngs_modulus_gpa = shank->maybe_number("youngs_modulus_gpa", 50, 1200).value_or(beam.youngs_modulus_gpa);
    beam.density_kg_m3 = shank->maybe_number("density_kg_m3", 1000, 20000).value_or(beam.density_kg_m3);
    shank->refuse_the_rest();
  }
  auto tip = sheet.part("tip");
  if (!tip) sheet.refuse("tip", "not there", "a table that says how the tip was measured");
  read_tip(*tip, setup);
  sheet.refuse_the_rest();
}

}  // namespace

Setup load_setup(const std::filesystem::path& file) {
  Sheet sheet(file);
  // Tools, holds, machines and materials have a name and nothing that is cut with them.
  if (sheet.has("name") && !sheet.has("title") && !sheet.has("cut"))
    throw BadSetup(file.string() + ": is a part of a set-up; the set-up that names it, as bracket-wall.toml does, would be right");
  Setup setup;
  setup.title = sheet.text("title");
  auto cut = sheet.part("cut");
  if (!cut)
    sheet.refuse("cut", "not there", "a table with radial_mm, depth_mm, milling, feed_per_tooth_mm, spindle_rpm");
  setup.mounting.tool.stickout_mm = cut->number("stickout_mm", 0.1, 1000);
  const std::filesystem::path tool = sheet.file_beside("tool");
  read_material(sheet.file_beside("material"), setup);
  read_machine(sheet.file_beside("machine"), setup);
  read_hold(sheet.file_beside("hold"), setup);
  read_tool(tool, setup);
  check_stickout(*cut, "stickout_mm", setup.mounting.tool.stickout_mm, setup.mounting.tool.beam);
  setup.radial_mm = cut->number("radial_mm", 0.001, setup.model.cutter.diameter_mm);
  setup.depth_mm = cut->number("depth_mm", 0, 100);
  setup.feed_per_tooth_mm = cut->number("feed_per_tooth_mm", 0.0001, 2);
  setup.spindle_rpm = cut->number("spindle_rpm", setup.min_rpm, setup.max_rpm);
  setup.milling = milling_of(*cut);
  setup.way = way_of(*cut, setup);
  setup.taps = taps_of(sheet);
  cut->refuse_the_rest();
  sheet.refuse_the_rest();
  try {
    cutting::check(setup.model);
  } catch (const std::invalid_argument& error) {
    sheet.refuse_saying("cut", error.what());
  }
  return setup;
}

}  // namespace hushmill::setup
