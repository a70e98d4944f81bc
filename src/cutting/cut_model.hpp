// Everything the cutting model knows of a set-up, but for speed and engagement. Plain values.
#pragma once

#include "cutting/cutter.hpp"
#include "cutting/mode.hpp"

namespace hushmill::cutting {

/// Cutting force per tooth: F = b·(K·h + K_edge), b the axial depth and h the chip thickness; and process damping
/// after C.T. Tyler, T.L. Schmitz, J. Manuf. Process. 15 (2013) 69-76 (formula from memory): F_d = −C·(b/v)·w', with w'
/// the velocity into the surface and v the surface speed. The defaults are invented, in the range of aluminium alloys.
struct CuttingForce {
  double tangential_n_mm2 = 700;
  double radial_n_mm2 = 210;
  double tangential_edge_n_mm = 12;
  double radial_edge_n_mm = 10;
  double process_damping_n_m = 0;  ///< C; 0: none
};

struct CutModel {
  Cutter cutter;
  CuttingForce force;
  Structure structure;
};

/// Throws std::invalid_argument naming the field, its value and what would be right. At least one mode is needed.
void check(const CutModel& model);

}  // namespace hushmill::cutting
