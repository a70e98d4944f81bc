#include "dashboard/tap_view.hpp"

#include <algorithm>
#include <cmath>

#include "cutting/speeds.hpp"
#include "dashboard/numbers.hpp"
#include "setup/taps.hpp"

namespace hushmill::dashboard {
namespace {

constexpr std::size_t kLeast = 3, kEnough = 5;
constexpr int kMostWaves = 10;  // pockets past that are too narrow to aim at (common practice, no published source)
constexpr double kSlowestRpm = 500, kFastestRpm = 40000;
constexpr double kSameShare = 0.03;  // two modes nearer than that cannot be told apart by a chatter tone
constexpr const char* kPlusMinus = " \xC2\xB1 ";

std::string where_to_tap(setup::TappedOn on) {
  switch (on) {
    case setup::TappedOn::tool:
      return "Tap the shank just above the flutes, never an edge, first in feed direction, then across.";
    case setup::TappedOn::part:
      return "Tap the part in its hold at the wall that will be cut, across that wall.";
    case setup::TappedOn::machine:
      return "Tap spindle nose or table, where you want to know what rings there.";
  }
  return {};
}

void add_steps(TapView& view, const live::TapState& state) {
  using live::TapStep;
  const std::size_t taps = state.findings.tap_s.size();
  const std::string on(setup::word(state.on));
  const auto later = [&](TapStep step) { return static_cast<int>(state.step) > static_cast<int>(step); };
  view.steps.push_back({"Spindle stopped and locked out by local rules, cautions read",
                        later(TapStep::cautions) ? "yes" : "Enter", later(TapStep::cautions),
                        state.step == TapStep::cautions});
  view.steps.push_back(
      {"What is tapped: tool (1), part in its hold (2) or machine (3)", on, later(TapStep::cautions), false});
  view.steps.push_back({"Microphone a hand's width away, on a stand, touching nothing; two seconds of quiet",
                        grouped(state.room_s, 1) + " of 2.0 s", later(TapStep::room), state.step == TapStep::room});
  view.steps.push_back(
      {where_to_tap(state.on) + " Small hammer, soft face, lightly; let each tap ring out. Three to five.",
       std::to_string(taps) + " of " + std::to_string(kEnough), taps >= kLeast, state.step == TapStep::tapping});
  const bool kept = !state.kept[static_cast<std::size_t>(state.on)].empty();
  view.steps.push_back(
      {"Look at the modes; keep them (K), or tap again (R)", kept ? "kept" : "", kept, taps >= kLeast && !kept});
  const bool both = !state.kept[0].empty() && !state.kept[1].empty();
  view.steps.push_back(
      {"Then the same for the other, tool and part, and compare", both ? "both kept" : "", both, kept && !both});
}

void add_rows(TapView& view, const live::TapState& state) {
  const int taps = state.taps_in_modes;
  for (const auto& mode : state.findings.modes) {
    const int hz_decimals = mode.natural_hz_spread < 0.1 ? 2 : mode.natural_hz_spread < 1 ? 1 : 0;
    TapRow row;
    row.hz = grouped(mode.natural_hz, hz_decimals) + kPlusMinus + grouped(mode.natural_hz_spread, hz_decimals);
    row.damping = grouped(100 * mode.damping_ratio, 2) + kPlusMinus + grouped(100 * mode.damping_ratio_spread, 2);
    row.taps = std::to_string(mode.taps_agreeing) + " of " + std::to_string(taps);
    row.level = in_db(mode.level_db);
    row.weak = 2 * mode.taps_agreeing <= taps;
    if (row.weak) row.remark = "taps differ";
    view.rows.push_back(row);
  }
}

/// A part's note does not move with the speed of the tool's pockets; the tool's does: pockets go with the strongest of
/// what is tapped.
void add_pockets(TapView& view, const live::TapState& state) {
  const auto& modes = state.findings.modes;
  if (modes.empty()) return;
  const auto strongest = std::max_element(modes.begin(), modes.end(),
                                          [](const auto& a, const auto& b) { return a.level_db < b.level_db; });
  view.pockets_head =
      in_hz(strongest->natural_hz) + ", " + std::to_string(state.flutes) + (state.flutes == 1 ? " flute" : " flutes");
  for (int waves = 1; waves <= kMostWaves; ++waves) {
    const double rpm = cutting::in_phase_rpm(strongest->natural_hz, state.flutes, waves);
    if (rpm < kSlowestRpm || rpm > kFastestRpm) continue;
    view.pockets.push_back(
        {rpm, waves,
         grouped(std::round(rpm / 10) * 10) + ": " + std::to_string(waves) + (waves == 1 ? " wave" : " waves")});
  }
}

std::string listed(const std::vector<setup::TappedMode>& modes) {
  std::string words;
  for (const auto& mode : modes) words += (words.empty() ? "" : ", ") + in_hz(mode.natural_hz);
  return words;
}

void compare(TapView& view, const live::TapState& state) {
  for (const auto on : {setup::TappedOn::tool, setup::TappedOn::part, setup::TappedOn::machine}) {
    const auto& modes = state.kept[static_cast<std::size_t>(on)];
    if (!modes.empty()) view.compared.push_back("Kept of the " + std::string(setup::word(on)) + ": " + listed(modes));
  }
  const auto& tool = state.kept[0];
  const auto& part = state.kept[1];
  if (tool.empty() || part.empty()) return;
  bool alike = false;
  for (const auto& a : tool)
    for (const auto& b : part) {
      if (std::abs(std::log(a.natural_hz / b.natural_hz)) > kSameShare) continue;
      alike = true;
      view.compared.push_back(in_hz(a.natural_hz) + " of the tool and " + in_hz(b.natural_hz) +
                              " of the part lie so near that chatter there cannot be told apart.");
    }
  if (!alike)
    view.compared.push_back(
        "Chatter near a note of the part is the part's: work on the hold. Near a note of the tool: speed, stick-out or "
        "holder.");
}

}  // namespace

std::vector<std::string> tap_cautions() {
  return {"Spindle stopped and locked out by local rules before anybody reaches in.",
          "A small hammer with a soft face. Tap lightly, never on a cutting edge: edges chip and cut. Eye protection.",
          "Shop rules, the makers' instructions and qualified people come first. A microphone on a stand, never held "
          "near a spindle that may turn."};
}

TapView prepare_taps(const live::TapState& state) {
  TapView view;
  add_steps(view, state);
  add_rows(view, state);
  add_pockets(view, state);
  compare(view, state);
  for (const auto warning : state.findings.warnings) view.warnings.emplace_back(tap::text(warning));
  const double from_s = state.heard_s - state.picture_s;
  const auto mark = [&](double at_s, bool counts, std::string why) {
    if (at_s >= from_s && at_s <= state.heard_s)
      view.marks.push_back({(at_s - from_s) / state.picture_s, counts, std::move(why)});
  };
  for (const double at_s : state.findings.tap_s) mark(at_s, true, {});
  for (const auto& tap : state.findings.rejected) {
    std::string why(tap::word(tap.why));
    std::replace(why.begin(), why.end(), '_', ' ');
    mark(tap.at_s, false, why);
  }
  return view;
}

}  // namespace hushmill::dashboard
