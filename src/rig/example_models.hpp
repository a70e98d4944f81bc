// Cutting models of the rig's own scenes. Invented data, in the range of small end mills in a 40-taper spindle.
#pragma once

#include "cutting/cut_model.hpp"

namespace hushmill::rig {

cutting::CutModel bracket_wall_model();
cutting::CutModel tray_pocket_model();
cutting::CutModel rail_slot_model();

}  // namespace hushmill::rig
