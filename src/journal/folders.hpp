// Where the journal and its recordings live, and folders and files that are the user's alone.
#pragma once

#include <filesystem>
#include <optional>

namespace hushmill::journal {

/// The data folder of the XDG Base Directory Specification (version 0.8, 2021): $XDG_DATA_HOME/hushmill or
/// $HOME/.local/share/hushmill. None when neither is set to an absolute path.
std::optional<std::filesystem::path> data_folder();

/// Where a person's own settings lie, by the same specification: $XDG_CONFIG_HOME/hushmill or $HOME/.config/hushmill.
std::optional<std::filesystem::path> settings_folder();

/// Makes the folder if needed, and it alone is then closed to others. Throws JournalFailed.
void make_private_folder(const std::filesystem::path& folder);
/// Makes an empty file if there is none, readable and writable by the user alone. Throws JournalFailed.
void make_private_file(const std::filesystem::path& file);

/// The journal's file in its folder.
inline std::filesystem::path journal_file(const std::filesystem::path& folder) { return folder / "journal.sqlite"; }
/// Recordings, relative to the folder.
inline constexpr const char* kRecordings = "recordings";

}  // namespace hushmill::journal
