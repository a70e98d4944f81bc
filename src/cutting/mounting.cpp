#include "cutting/mounting.hpp"

#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace hushmill::cutting {
namespace {

[[noreturn]] void refuse(const std::string& field, double value, const std::string& right) {
  std::ostringstream line;
  line << field << " is " << value << "; " << right << " would be right";
  throw std::invalid_argument(line.str());
}

void within(const std::string& field, const std::optional<double>& value, double least, double most,
            const std::string& why = "") {
  if (!value || (*value >= least && *value <= most)) return;
  std::ostringstream right;
  right << least << " to " << most << why;
  refuse(field, *value, right.str());
}

void check(const CutModel& model, const Mounting& before, const MountingChange& change) {
  within("stick-out in mm", change.stickout_mm, before.tool.beam.flute_length_mm,
         kLongestStickoutDiameters * before.tool.beam.shank_diameter_mm, " (flutes stay out of the holder)");
  within("stiffness of the holder in times its own", change.holder_times, 0.1, 10);
  within("overhang of the part in mm", change.overhang_mm, 0.1, 5000);
  within("support of the part in N/m", change.part_support_n_m, 0, 1e12);
  const bool still = model.structure.part_x.empty() && model.structure.part_y.empty();
  if (still && change.overhang_mm)
    refuse("overhang of the part in mm", *change.overhang_mm, "a set-up whose hold has a mode of its own");
  if (still && change.part_support_n_m)
    refuse("support of the part in N/m", *change.part_support_n_m, "a set-up whose hold has a mode of its own");
  if (change.overhang_mm && before.overhang_mm <= 0)
    refuse("overhang of the part in mm", *change.overhang_mm,
           "a set-up that says at which overhang its hold was measured");
}

}  // namespace

Mounting changed(const Mounting& before, const MountingChange& change) {
  Mounting after = before;
  after.tool.stickout_mm = change.stickout_mm.value_or(before.tool.stickout_mm);
  after.overhang_mm = change.overhang_mm.value_or(before.overhang_mm);
  after.part_support_n_m = change.part_support_n_m.value_or(before.part_support_n_m);
  after.tool.support.translation_n_m *= change.holder_times.value_or(1.0);
  after.tool.support.rotation_n_m_rad *= change.holder_times.value_or(1.0);
  return after;
}

CutModel remounted(const CutModel& model, const Mounting& before, const MountingChange& change) {
  check(model, before, change);
  const Mounting after = changed(before, change);
  CutModel out = model;
  if (change.stickout_mm || change.holder_times) {
    for (auto* modes : {&out.structure.tool_x, &out.structure.tool_y})
      for (Mode& mode : *modes) mode = held_otherwise(mode, before.tool, after.tool);
  }
  if (change.overhang_mm || change.part_support_n_m) {
    for (auto* modes : {&out.structure.part_x, &out.structure.part_y}) {
      for (Mode& mode : *modes) {
        mode = with_support(mode, -before.part_support_n_m);  // the bare part
        if (change.overhang_mm) mode = at_overhang(mode, before.overhang_mm, after.overhang_mm);
        mode = with_support(mode, after.part_support_n_m);
      }
    }
  }
  cutting::check(out);
  return out;
}

}  // namespace hushmill::cutting
