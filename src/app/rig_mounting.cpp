#include "app/rig_mounting.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <vector>

#include "app/option_text.hpp"

namespace hushmill::app {

namespace {
constexpr double kN_m = 1e6;  // N/m in a N/µm

std::string lowest_mode(const char* whose, std::vector<cutting::Mode> before, const std::vector<cutting::Mode>& more_before,
                        std::vector<cutting::Mode> after, const std::vector<cutting::Mode>& more_after) {
  before.insert(before.end(), more_before.begin(), more_before.end());
  after.insert(after.end(), more_after.begin(), more_after.end());
  if (before.empty()) return "";
  const auto lowest = std::min_element(before.begin(), before.end(), [](const auto& a, const auto& b) { return a.natural_hz < b.natural_hz; });
  const auto& is = after[static_cast<std::size_t>(lowest - before.begin())];
  return fmt::format("; lowest mode of the {} {:.0f} -> {:.0f} Hz, {:.3g} -> {:.3g} N/µm", whose, lowest->natural_hz, is.natural_hz,
                     lowest->stiffness_n_m / kN_m, is.stiffness_n_m / kN_m);
}
}  // namespace

void add_mounting_options(CLI::App& command, MountingTexts& texts, const std::string& group) {
  command.add_option("--stick-out-mm", texts.stick_out_mm, "Stick-out of the tool from the face of the holder, by beam theory")->type_name("MM")->group(group);
  command.add_option("--holder-times", texts.holder_times, "Holder and spindle nose this many times as stiff, 0.1 to 10")->type_name("TIMES")->group(group);
  command.add_option("--overhang-mm", texts.overhang_mm, "How far the part stands out of its jaws, where the hold has a mode")->type_name("MM")->group(group);
  command.add_option("--support-n-um", texts.support_n_um, "Stiffness of a support set against the part at the cut, N/µm, where the hold has a mode")->type_name("N/UM")->group(group);
}

cutting::MountingChange mounting_change(const MountingTexts& texts, const cutting::CutModel& model, const cutting::Mounting& mounting) {
  cutting::MountingChange change;
  if (texts.stick_out_mm)
    change.stickout_mm = parse_number("--stick-out-mm", *texts.stick_out_mm, std::max(mounting.tool.beam.flute_length_mm, 1.0),
                                      cutting::kLongestStickoutDiameters * mounting.tool.beam.shank_diameter_mm);
  if (texts.holder_times) change.holder_times = parse_number("--holder-times", *texts.holder_times, 0.1, 10);
  const bool still = model.structure.part_x.empty() && model.structure.part_y.empty();
  const auto of_part = [&](const char* option, const std::optional<std::string>& text, bool known, const char* right) {
    if (text && !known) throw UsageError(fmt::format("{} is '{}'; {} would be right", option, text->substr(0, 60), right));
  };
  of_part("--overhang-mm", texts.overhang_mm, !still && mounting.overhang_mm > 0,
          "a set-up whose hold has a mode and says its overhang, as config/fin-wall.toml,");
  of_part("--support-n-um", texts.support_n_um, !still, "a set-up whose hold has a mode of its own, as config/fin-wall.toml,");
  if (texts.overhang_mm) change.overhang_mm = parse_number("--overhang-mm", *texts.overhang_mm, 1, 1000);
  if (texts.support_n_um) change.part_support_n_m = kN_m * parse_number("--support-n-um", *texts.support_n_um, 0, 10000);
  return change;
}

std::string mounting_note(const cutting::CutModel& before, const cutting::Mounting& mounting, const cutting::MountingChange& change) {
  if (!change.any()) return "";
  const auto after = cutting::remounted(before, mounting, change).structure;
  std::vector<std::string> said;
  if (change.stickout_mm) said.push_back(fmt::format("stick-out {:g} -> {:g} mm", mounting.tool.stickout_mm, *change.stickout_mm));
  if (change.holder_times) said.push_back(fmt::format("holder {:g} times as stiff", *change.holder_times));
  if (change.overhang_mm) said.push_back(fmt::format("part out of its jaws {:g} -> {:g} mm", mounting.overhang_mm, *change.overhang_mm));
  if (change.part_support_n_m)
    said.push_back(fmt::format("support {:g} -> {:g} N/µm", mounting.part_support_n_m / kN_m, *change.part_support_n_m / kN_m));
  std::string line = fmt::format("Changed: {}", fmt::join(said, ", "));
  const auto& was = before.structure;
  if (change.stickout_mm || change.holder_times) line += lowest_mode("tool", was.tool_x, was.tool_y, after.tool_x, after.tool_y);
  if (change.overhang_mm || change.part_support_n_m) line += lowest_mode("part", was.part_x, was.part_y, after.part_x, after.part_y);
  return line + ". By theory from the measured modes: a tap test would be better.";
}

}  // namespace hushmill::app
