// Everything that is ever read of a journal, read.
#pragma once

#include <filesystem>

namespace hushmill::fuzz {

/// Opens the journal in that folder and reads it to the last table, as list, text, report, replay, trials and export would.
/// Complaints must be one line.
void read_journal(const std::filesystem::path& folder);

}  // namespace hushmill::fuzz
