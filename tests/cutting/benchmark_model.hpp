// The one-mode benchmark of the literature on milling stability.
//
// Parameters (from memory): T. Insperger, G. Stépán, "Updated semi-discretization method for periodic
// delay-differential equations with discrete delay", Int. J. Numer. Meth. Engng 61 (2004) 117-141.
#pragma once

#include "cutting/cut_model.hpp"

namespace hushmill::test {

inline cutting::CutModel benchmark_model() {
  return {.cutter = {.flutes = 2, .diameter_mm = 10, .helix_deg = 0, .pitch_deg = {}, .runout_um = {}},
          .force = {.tangential_n_mm2 = 600,
                    .radial_n_mm2 = 200,
                    .tangential_edge_n_mm = 0,
                    .radial_edge_n_mm = 0,
                    .process_damping_n_m = 0},
          .structure = {.tool_x = {{922, 0.011, 1340049.648}}, .tool_y = {}, .part_x = {}, .part_y = {}}};
}

}  // namespace hushmill::test
