// What cuts are like before anything was heard of this one, sharpened by what the question says of it.
#pragma once

#include "advise/advice.hpp"
#include "advise/draw.hpp"
#include "advise/flexible_cut.hpp"

namespace hushmill::advise {

/// The guess that these numbers stand for, not yet anchored. Always spends the same of them for the same thing, so that
/// neighbouring numbers make neighbouring guesses. The spreads are working assumptions (no published source) and stated
/// in the .cpp.
FlexibleCut draw_cut(const Question& question, Spender& luck) noexcept;

}  // namespace hushmill::advise
