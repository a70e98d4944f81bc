// Unequal pitch: by the model it raises the limit, and the simulated machine falls silent.
#include <cmath>
#include <utility>
#include <vector>

#include "benchmark_cut.hpp"
#include "cutting/semi_discretization.hpp"
#include "support/catch.hpp"

using namespace hushmill;

namespace {

cutting::CutModel four_flutes(std::vector<double> pitch_deg) {
  return {
      .cutter = {.flutes = 4, .diameter_mm = 20, .helix_deg = 0, .pitch_deg = std::move(pitch_deg), .runout_um = {}},
      .force = {.tangential_n_mm2 = 700,
                .radial_n_mm2 = 210,
                .tangential_edge_n_mm = 0,
                .radial_edge_n_mm = 0,
                .process_damping_n_m = 0},
      .structure = {.tool_x = {{585, 0.03, 1.2e7}}, .tool_y = {{585, 0.03, 1.2e7}}, .part_x = {}, .part_y = {}}};
}

double limit_mm(const cutting::CutModel& model, double rpm) {
  return cutting::SemiDiscretization(model, 10, cutting::Milling::conventional).limit(rpm, 30, 0.05).depth_mm;
}

rig::RigTruth after_a_while(const cutting::CutModel& model, double rpm, double depth_mm) {
  rig::RigSettings settings = test::bare_cut(model, rpm, 0.5, cutting::Milling::conventional, depth_mm);
  settings.entry_revolutions = 8;
  settings.sound.force_noise = 0.02;
  rig::Machine machine(settings, 96000);
  for (int i = 0; i < 3 * 96000; ++i) machine.step();
  return machine.truth();
}

}  // namespace

TEST_CASE("Pitch 70-110-70-110 raises the limit where equal pitch is worst, and silences the cut") {
  // The cutter: Y. Altintas, S. Engin, E. Budak, ASME J. Manuf. Sci. Eng. 121 (1999) 173-178 (pitch from memory, medium
  // confidence). Set-up and speed are ours, the gain is computed.
  const cutting::CutModel equal = four_flutes({});
  const cutting::CutModel unequal = four_flutes({70, 110, 70, 110});
  const double rpm = 5600;
  const double equal_mm = limit_mm(equal, rpm);
  CHECK(limit_mm(unequal, rpm) > 3.0 * equal_mm);

  const double depth_mm = 2.0 * equal_mm;
  const rig::RigTruth loud = after_a_while(equal, rpm, depth_mm);
  CHECK(loud.teeth_leave_cut);
  CHECK(loud.chatter_rms > 0.45 * loud.synchronous_rms);
  const rig::RigTruth quiet = after_a_while(unequal, rpm, depth_mm);
  CHECK(quiet.chatter_rms < 0.1 * quiet.synchronous_rms);
}

TEST_CASE("Linear pitch after Budak's rule raises the limit at its own speed and lowers it at another") {
  // E. Budak, "An Analytical Design Method for Milling Cutters With Nonconstant Pitch", ASME J. Manuf. Sci. Eng. 125
  // (2003) 29-38 (formulas from memory, the identity derived): steps of 6kn/(N·fc) degrees make Σ sin ε vanish. For N =
  // 4, k = 2, n = 3000 and fc = 900 Hz that is 10 degrees: 75-85-95-105. Set-up and gain are ours.
  const auto with = [](std::vector<double> pitch) {
    cutting::CutModel model = four_flutes(std::move(pitch));
    model.structure.tool_x = model.structure.tool_y = {{872, 0.03, 1.2e7}};
    return model;
  };
  const cutting::StabilityLimit equal =
      cutting::SemiDiscretization(with({}), 10, cutting::Milling::conventional).limit(3000, 30, 0.05);
  INFO("equal pitch: " << equal.depth_mm << " mm, " << equal.chatter_hz << " Hz");
  CHECK(std::abs(6.0 * 2 * 3000 / (4 * equal.chatter_hz) - 10.0) < 0.3);
  CHECK(limit_mm(with({75, 85, 95, 105}), 3000) > 2.0 * equal.depth_mm);
  CHECK(limit_mm(with({75, 85, 95, 105}), 3250) < 0.8 * limit_mm(with({}), 3250));
}
