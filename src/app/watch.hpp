// The terminal monitor: one line per event, from any source, over ssh too.
#pragma once

#include <memory>
#include <optional>

#include "app/cut_options.hpp"
#include "app/trial_options.hpp"
#include "capture/source.hpp"
#include "live/keeper.hpp"

namespace hushmill::app {

struct WatchSettings {
  CutOptions cut;
  TrialOptions trials;
  bool json = false;
  std::optional<double> for_s;  ///< stop after this much sound
  std::shared_ptr<live::Keeper> keeper{};  ///< sound and events are handed to it; none: nothing is kept
  bool keep_pace = false;       ///< a source that has its next samples at once is slowed to real time
  bool may_return = false;      ///< a source that is lost is waited for, as a microphone is
};

/// Listens until the source ends, `for_s` is over or the person interrupts. A lost source that may return is waited for until
/// then, with `for_s` as long as there was left to hear. Returns the exit code: 1 when the source was lost and is not back. Writes to standard output; troubles to standard error.
int watch(capture::Source& source, const WatchSettings& settings);

}  // namespace hushmill::app
