#include "live/open_ends.hpp"

#include <algorithm>
#include <exception>

#include "capture/recording.hpp"

namespace hushmill::live {

void find_open_end(journal::RecordingRow& recording, const std::filesystem::path& folder) {
  // Without a hash it was not closed, and the end in its row is that of its first second.
  if (recording.to_s && !recording.sha256.empty()) return;
  try {
    const capture::Recording sound(folder / recording.path);
    if (const auto samples = sound.stated_samples()) recording.to_s = std::max(recording.to_s.value_or(0), recording.from_s + static_cast<double>(*samples) / sound.sample_rate_hz());
  } catch (const std::exception&) {
    // Gone, or nothing in it yet.
  }
}

void find_open_ends(journal::SessionRecord& record, const std::filesystem::path& folder) {
  for (journal::RecordingRow& recording : record.recordings) find_open_end(recording, folder);
  if (!record.session.ended_utc.empty()) return;
  double end_s = record.session.heard_s.value_or(0);  // told while the tool cut
  for (const auto& recording : record.recordings)
    if (recording.kind != "listened") end_s = std::max(end_s, recording.to_s.value_or(0));
  for (const auto& event : record.events) end_s = std::max(end_s, event.t_s);
  for (const auto& episode : record.episodes) end_s = std::max(end_s, episode.end_s);
  for (const auto& card : record.cards) end_s = std::max(end_s, card.t_s);
  if (end_s > 0) record.session.heard_s = end_s;
}

}  // namespace hushmill::live
