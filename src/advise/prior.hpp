// What cuts are like before anything was heard of this one, sharpened by what the question says of it.
#pragma once

#include "advise/advice.hpp"
#include "advise/draw.hpp"
#include "advise/flexible_cut.hpp"

namespace hushmill::advise {

/// Draws one guess. The spreads are working assumptions (no published source) and stated in the .cpp.
FlexibleCut draw_cut(const Question& question, Draw& draw) noexcept;

}  // namespace hushmill::advise
