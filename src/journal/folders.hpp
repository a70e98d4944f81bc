// Where the journal and its recordings live, and folders and files that are the user's alone.
#pragma once

#include <filesystem>
#include <optional>

namespace hushmill::journal {

/// `hushmill` in the platform's data folder. None when that has none.
std::optional<std::filesystem::path> data_folder();

/// Where a person's own settings lie: `hushmill` in the platform's folder for them.
std::optional<std::filesystem::path> settings_folder();

/// Makes the folder and those above it as platform::make_own_folder does. Throws JournalFailed.
void make_private_folder(const std::filesystem::path& folder);
/// Makes an empty file if there is none; either way readable and writable by the user alone. Throws JournalFailed.
void make_private_file(const std::filesystem::path& file);

/// The journal's file in its folder.
inline std::filesystem::path journal_file(const std::filesystem::path& folder) { return folder / "journal.sqlite"; }
/// Recordings, relative to the folder.
inline constexpr const char* kRecordings = "recordings";

}  // namespace hushmill::journal
