// The parts of section `physics` that hold theory and machine against literature, algebra and a second opinion.
#pragma once

#include "bench/section.hpp"

namespace hushmill::bench {

void theory_checks(Report& report);
void machine_checks(Report& report);

}  // namespace hushmill::bench
