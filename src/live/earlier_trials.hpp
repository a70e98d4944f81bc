// What a kept session tried, for the adviser of today, and such trials as a line of text that the journal can hold.
//
// A trial counts only where it was tried on the cut of today: flutes, and as far as both are known diameter, width, depth and
// milling. Of a session that went on to other cuts and came back, the last stretch on this cut counts. A speed has held where the
// journal says so; quiet that the journal does not call held proves nothing a day later. Pure.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "advise/advice.hpp"
#include "journal/records.hpp"
#include "live/cut_card.hpp"

namespace hushmill::live {

struct EarlierTrials {
  std::vector<advise::Trial> trials;  ///< one a speed, slowest first
  bool other_cut = false;             ///< something was tried on another cut and is left out
  bool depth_not_noted = false;       ///< the depth is known today and was not written down then
};

EarlierTrials earlier_trials(const journal::SessionRecord& record, const CutCard& card);

/// Adds those whose speed is not among them yet: what was said first counts.
void add_untold(std::span<const advise::Trial> more, std::vector<advise::Trial>& trials);

/// "5400:held, 6000:chattered@1370.5"; the other way round what cannot be read is left out.
std::string tried_text(std::span<const advise::Trial> trials);
std::vector<advise::Trial> tried_from(std::string_view text);

}  // namespace hushmill::live
