// How tool and part stand in the machine, and what another stick-out, holder, overhang or support makes of their modes.
//
// Pure functions on plain values; `remounted` throws std::invalid_argument naming the field, its value and what would
// be right. The theory and its sources stand in tool_beam.hpp.
#pragma once

#include <optional>

#include "cutting/cut_model.hpp"
#include "cutting/tool_beam.hpp"

namespace hushmill::cutting {

inline constexpr double kLongestStickoutDiameters = 15;  ///< a rod longer than that is no tool to mill with

/// The mounting that a model's modes belong to.
struct Mounting {
  HeldTool tool = {};
  double overhang_mm = 0;       ///< of the part, out of its jaws; 0: not known
  double part_support_n_m = 0;  ///< stiffness of what is set against the part at the cut
};

/// What a person changes on it; what is not set stays.
struct MountingChange {
  std::optional<double> stickout_mm = {};   ///< from the flute length to `kLongestStickoutDiameters`
  std::optional<double> holder_times = {};  ///< holder and spindle nose this many times as stiff, their mass the same
  std::optional<double> overhang_mm = {};   ///< of the part
  std::optional<double> part_support_n_m = {};  ///< at the cut

  bool any() const noexcept { return stickout_mm || holder_times || overhang_mm || part_support_n_m; }
};

/// The mounting after the change.
Mounting changed(const Mounting& before, const MountingChange& change);
/// The model after the change: every mode moves in frequency and stiffness as the theory says, its damping ratio stays.
/// Refuses a stick-out that would take the flutes into the holder, and overhang or support of a part that has no mode.
CutModel remounted(const CutModel& model, const Mounting& before, const MountingChange& change);

}  // namespace hushmill::cutting
