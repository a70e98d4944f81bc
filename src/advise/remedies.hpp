// What to change beside the speed, with the expected effect in numbers, and the cautions that go with all advice.
#pragma once

#include "advise/advice.hpp"
#include "advise/belief.hpp"

namespace hushmill::advise {

/// The largest part of the depth, in steps of five percent, at which one of the advised speeds is likely quiet (80 %);
/// none when even a fifth of it is not.
std::optional<double> quiet_depth_factor(const Belief& belief, const Advice& advice);

/// Changes to hold, tool and program. Uses depth_factor, part_sings and natural_hz of the advice so far.
std::vector<Remedy> remedies_for(const Question& question, const Advice& advice);

/// Fixed lines; the first is that this is advice only.
std::vector<std::string> cautions_for(const Question& question, const Advice& advice);

}  // namespace hushmill::advise
