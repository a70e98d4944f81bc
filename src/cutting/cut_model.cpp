#include "cutting/cut_model.hpp"

#include <stdexcept>
#include <string>
#include <vector>

#include "text/within.hpp"

namespace hushmill::cutting {
namespace {

void check(const std::string& group, const std::vector<Mode>& modes) {
  for (std::size_t i = 0; i < modes.size(); ++i) {
    const std::string name = group + "[" + std::to_string(i) + "].";
    text::within(name + "natural_hz", modes[i].natural_hz, 1, 20000);
    text::within(name + "damping_ratio", modes[i].damping_ratio, 1e-5, 0.5);
    text::within(name + "stiffness_n_m", modes[i].stiffness_n_m, 1e2, 1e12);
  }
}

}  // namespace

void check(const CutModel& model) {
  check(model.cutter);
  text::within("tangential_n_mm2", model.force.tangential_n_mm2, 1, 20000);
  text::within("radial_n_mm2", model.force.radial_n_mm2, -20000, 20000);
  text::within("tangential_edge_n_mm", model.force.tangential_edge_n_mm, 0, 1000);
  text::within("radial_edge_n_mm", model.force.radial_edge_n_mm, 0, 1000);
  text::within("process_damping_n_m", model.force.process_damping_n_m, 0, 1e9);
  check("tool_x", model.structure.tool_x);
  check("tool_y", model.structure.tool_y);
  check("part_x", model.structure.part_x);
  check("part_y", model.structure.part_y);
  const Structure& s = model.structure;
  if (s.tool_x.empty() && s.tool_y.empty() && s.part_x.empty() && s.part_y.empty()) {
    throw std::invalid_argument(
        "the set-up has no mode; at least one of tool_x, tool_y, part_x, part_y would be right");
  }
}

}  // namespace hushmill::cutting
