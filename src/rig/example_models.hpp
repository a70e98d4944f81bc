// Cutting models of the rig's own scenes. Invented data, in the range of small end mills in a 40-taper spindle.
#pragma once

#include "cutting/cut_model.hpp"
#include "cutting/mounting.hpp"

namespace hushmill::rig {

cutting::CutModel bracket_wall_model();
cutting::CutModel tray_pocket_model();
cutting::CutModel rail_slot_model();

/// How their tools and parts stand.
cutting::Mounting bracket_wall_mounting();
cutting::Mounting tray_pocket_mounting();
cutting::Mounting rail_slot_mounting();

}  // namespace hushmill::rig
