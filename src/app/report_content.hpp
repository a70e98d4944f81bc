// What a report says: from the rows of a session, kept in the journal or made by a review.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "app/review.hpp"
#include "journal/records.hpp"
#include "report/content.hpp"

namespace hushmill::app {

/// The sound from one time to another; none, with why not, when there is no recording of it.
struct SoundOrNot {
  std::optional<report::EpisodeSound> sound{};
  std::string why_not{};
};
using SoundBetween = std::function<SoundOrNot(double from_s, double to_s)>;

report::Content report_content(const journal::SessionRecord& record, const SoundBetween& sound);

/// A review as the rows that a session with this sound would have left.
journal::SessionRecord record_of(const Review& review, const CutOptions& cut, const std::string& settings);

}  // namespace hushmill::app
