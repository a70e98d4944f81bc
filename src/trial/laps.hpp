// Does chatter come back with a period, as it does when a corner lies in every lap? Pure.
//
// Few times prove little: four at least, and twice as many and two more where the period holds several corners that are not
// evenly apart. Of chatter at random moments about one series in a hundred is taken for laps (tests/trial measures it).
#pragma once

#include <optional>
#include <span>

#include "trial/trial.hpp"

namespace hushmill::trial {

/// `onsets_s`: when chatter began, in order. Finds one to four times a period; when there is one, every third may be missing.
std::optional<Laps> find_laps(std::span<const double> onsets_s);

}  // namespace hushmill::trial
