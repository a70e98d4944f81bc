// Unequal pitch: by the model it raises the limit, and the simulated machine falls silent.
#include <cmath>

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

TEST_CASE(
    "Pitch 70-110-70-110 raises the limit where half a wave more or less lies between the teeth, and silences the "
    "cut") {
  // The cutter: Y. Altintas, S. Engin, E. Budak, ASME J. Manuf. Sci. Eng. 121 (1999) 173-178 (pitch from memory, medium
  // confidence). The optimum is derived: alternating pitch cancels when the difference of 40 degrees is half a wave,
  // that is fc/(n/60) = 4.5.
  const cutting::CutModel equal = four_flutes({});
  const cutting::CutModel unequal = four_flutes({70, 110, 70, 110});
  const double rpm = 8000;
  const cutting::StabilityLimit limit =
      cutting::SemiDiscretization(equal, 10, cutting::Milling::conventional).limit(rpm, 30, 0.05);
  INFO("limit " << limit.depth_mm << " mm at " << limit.chatter_hz << " Hz, " << limit.chatter_hz / (rpm / 60)
                << " waves a turn");
  CHECK(std::abs(limit.chatter_hz / (rpm / 60) - 4.5) < 0.25);
  const double raised_mm = limit_mm(unequal, rpm);
  CHECK(raised_mm > 2.0 * limit.depth_mm);

  const double depth_mm = 1.5 * limit.depth_mm;
  const rig::RigTruth loud = after_a_while(equal, rpm, depth_mm);
  CHECK(loud.teeth_leave_cut);
  CHECK(loud.chatter_rms > 0.45 * loud.synchronous_rms);
  const rig::RigTruth quiet = after_a_while(unequal, rpm, depth_mm);
  CHECK_FALSE(quiet.teeth_leave_cut);
  CHECK(quiet.chatter_rms < 0.1 * quiet.synchronous_rms);
}

TEST_CASE("Linear pitch after Budak's rule raises the limit at its speed and not at every other") {
  // E. Budak, "An Analytical Design Method for Milling Cutters With Nonconstant Pitch", ASME J. Manuf. Sci. Eng. 125
  // (2003) 29-38 (formulas from memory; the identity derived): steps of 6kn/(N·fc) degrees make Σ sin ε vanish. For n =
  // 6000, N = 4, fc = 900 Hz, k = 1 that is 10 degrees: 75-85-95-105 (worked example of our own, derived).
  auto with = [](std::vector<double> pitch) {
    cutting::CutModel model = four_flutes(std::move(pitch));
    model.structure.tool_x = model.structure.tool_y = {{872, 0.03, 1.2e7}};
    return model;
  };
  const cutting::StabilityLimit equal =
      cutting::SemiDiscretization(with({}), 10, cutting::Milling::conventional).limit(6000, 30, 0.05);
  INFO("limit " << equal.depth_mm << " mm at " << equal.chatter_hz << " Hz");
  CHECK(std::abs(equal.chatter_hz - 900) < 25);
  CHECK(limit_mm(with({75, 85, 95, 105}), 6000) > 1.8 * equal.depth_mm);
  double worst = 10;
  for (const double rpm : {3300.0, 4400.0, 6500.0, 12500.0}) {
    worst = std::min(worst, limit_mm(with({75, 85, 95, 105}), rpm) / limit_mm(with({}), rpm));
  }
  CHECK(worst < 1.0);
}
