#include "rig/example_models.hpp"

namespace hushmill::rig {

cutting::CutModel bracket_wall_model() {
  return {.cutter = {.flutes = 4, .diameter_mm = 12, .helix_deg = 35, .pitch_deg = {}, .runout_um = {4, -2, -3, 1}},
          .force = {},
          .structure = {.tool_x = {{1180, 0.022, 9.0e6}, {2650, 0.030, 3.2e7}},
                        .tool_y = {{1240, 0.024, 9.6e6}, {2710, 0.028, 3.4e7}},
                        .part_x = {},
                        .part_y = {}}};
}

cutting::CutModel tray_pocket_model() {
  return {.cutter = {.flutes = 3, .diameter_mm = 10, .helix_deg = 40, .pitch_deg = {}, .runout_um = {3, -3, 0}},
          .force = {},
          .structure = {.tool_x = {{1420, 0.020, 7.0e6}},
                        .tool_y = {{1450, 0.021, 7.2e6}},
                        .part_x = {},
                        .part_y = {{640, 0.035, 4.5e7}}}};
}

cutting::CutModel rail_slot_model() {
  return {.cutter = {.flutes = 4, .diameter_mm = 16, .helix_deg = 30, .pitch_deg = {}, .runout_um = {5, -3, 2, -4}},
          .force = {},
          .structure = {.tool_x = {{870, 0.026, 1.4e7}}, .tool_y = {{905, 0.027, 1.5e7}}, .part_x = {}, .part_y = {}}};
}

cutting::Mounting bracket_wall_mounting() {
  return {.tool = {.beam = {.shank_diameter_mm = 12, .flute_length_mm = 26}, .support = {}, .stickout_mm = 48}};
}

cutting::Mounting tray_pocket_mounting() {
  return {.tool = {.beam = {.shank_diameter_mm = 10, .flute_length_mm = 22}, .support = {}, .stickout_mm = 40},
          .overhang_mm = 30};
}

cutting::Mounting rail_slot_mounting() {
  return {.tool = {.beam = {.shank_diameter_mm = 16, .flute_length_mm = 34}, .support = {}, .stickout_mm = 62}};
}

}  // namespace hushmill::rig
