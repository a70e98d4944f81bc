// The options that change how tool and part stand, for one run: the same words for the simulated machine and the chart.
#pragma once

#include <optional>
#include <string>

#include "cutting/mounting.hpp"

namespace CLI {
class App;
}

namespace hushmill::app {

/// How the heading of these options in the help begins.
inline constexpr const char* kMountingGroup = "How tool and part stand";

struct MountingTexts {
  std::optional<std::string> stick_out_mm, holder_times, overhang_mm, support_n_um;
};

void add_mounting_options(CLI::App& command, MountingTexts& texts, const std::string& group);

/// Checked against the mounting and the model that will be changed. Throws UsageError.
cutting::MountingChange mounting_change(const MountingTexts& texts, const cutting::CutModel& model,
                                        const cutting::Mounting& mounting);

/// One line on what was changed and what became of the lowest mode of tool or part: empty if nothing was changed.
std::string mounting_note(const cutting::CutModel& before, const cutting::Mounting& mounting,
                          const cutting::MountingChange& change);

}  // namespace hushmill::app
