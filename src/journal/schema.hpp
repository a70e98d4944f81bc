// The journal's tables and their history: each step takes a file from one version to the next. Never change a step that
// was released; add one.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>

#include "journal/database.hpp"

namespace hushmill::journal {

/// Marks a file as a Hushmill journal: SQLite's application id, "HuMi".
inline constexpr std::int64_t kApplicationId = 0x48754d69;

/// The version that this program writes.
std::int64_t newest_version() noexcept;

/// What the file's header says, read without SQLite, so that nothing is touched: the version, or none for a file that
/// is not there or empty. Throws BadJournal when it is no journal or a newer one.
std::optional<std::int64_t> checked_version(const std::filesystem::path& file);

/// Throws BadJournal when the file holds what no version of this program made: views, tables of other programs' making, or triggers, which
/// could run without an end, or do something else, whenever a table is read or written.
void check_tables(Database& database, const std::filesystem::path& file);

/// Brings the tables to `version`, step by step, each in one transaction; 0 is an empty file.
void migrate(Database& database, std::int64_t to_version);

}  // namespace hushmill::journal
