// What a session that ended without a word left open: the ends of its recordings, from the files, and its own, from the
// last of all that was kept.
//
// Reads headers of sound files. Nothing is written: the session may still be on in another window. Never throws for a
// file that cannot be read; its end then stays open.
#pragma once

#include <filesystem>

#include "journal/records.hpp"

namespace hushmill::live {

/// `folder`: the journal's.
void find_open_end(journal::RecordingRow& recording, const std::filesystem::path& folder);
void find_open_ends(journal::SessionRecord& record, const std::filesystem::path& folder);

}  // namespace hushmill::live
