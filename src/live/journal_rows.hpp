// What was heard and advised, as rows of the journal: the same for a session that was kept and for a recording that is
// reviewed. Pure.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "advise/advice.hpp"
#include "journal/records.hpp"
#include "listen/findings.hpp"
#include "live/cut_card.hpp"
#include "live/trials_kept.hpp"
#include "trial/speed_table.hpp"

namespace hushmill::live {

journal::CardRow card_row(double t_s, const CutCard& card);
/// The other way round.
CutCard card_from(const journal::CardRow& row);
/// The modes on the card that were found by tapping, and back.
std::vector<journal::TapRow> tap_rows(const CutCard& card, const std::string& utc);
void take_taps(const std::vector<journal::TapRow>& rows, CutCard& card);
/// Numbers count from 1; the speeds are the caller's.
journal::EpisodeRow episode_row(std::int64_t number, const listen::Episode& episode);
/// The same with the speeds of its stretch.
journal::EpisodeRow episode_row(std::int64_t number, const listen::Episode& episode, const listen::Findings& findings);
/// An earlier episode of which the same was advised, word for word: it need not be said again. None if this one has its own.
std::optional<std::int64_t> advised_as(const journal::SessionRecord& record, std::int64_t episode_number);
std::vector<journal::AdviceRow> advice_rows(std::int64_t episode_number, double t_s, const advise::Advice& advice);
/// The F word is that of the card at the trial's speed: the chip load stays. `number` is for one that has none of its own.
journal::TrialRow trial_row(const TrialKept& trial, const CutCard& card);
std::vector<journal::SpeedRow> speed_rows(const trial::SpeedTable& table);

}  // namespace hushmill::live
