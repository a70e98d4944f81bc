// Trials of earlier sessions, from the journal, for the advice of today.
#pragma once

#include "app/cut_options.hpp"

namespace hushmill::app {

/// Adds to `cut.tried` what the sessions of --tried-session tried on this cut, and says on standard error what was taken. What --tried
/// says of a speed counts, then the session that was named last. Throws UsageError for one that tried nothing on this cut.
void take_kept_trials(const CutOptionTexts& texts, CutOptions& cut);

}  // namespace hushmill::app
