// The options that say what is kept of a session, the same for the terminal monitor and the dashboard.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "app/doors.hpp"
#include "live/keeper.hpp"

namespace hushmill::app {

struct KeepTexts {
  bool inches = false;  ///< the screen shows inches
  std::string data, record, job, machine, tool, hold, material;
  bool journal = false, no_journal = false, no_minute = false;
};

/// Who keeps: the dashboard has a key that keeps the last minute, the terminal has none and does not hold it. Both write the same
/// journal, unless --no-journal.
enum class KeepFor { dashboard, terminal };

void add_keep_options(CLI::App& command, KeepTexts& texts, KeepFor who);

/// The options of the cut as typed, so that a report can be made again.
std::string settings_text(const CutOptionTexts& cut);
/// The same with source and trials; for the simulated machine all that makes its sound again.
std::string settings_text(const DoorTexts& door);

/// --data, for commands that only read the journal.
void add_journal_folder(CLI::App& command, std::string& data);

/// The folder of --data, else the user's own; throws UsageError when there is none.
std::filesystem::path data_folder(const std::string& data);

/// None when nothing is to be kept. Throws UsageError. A journal that cannot be opened is no reason not to listen: that is said on
/// standard error, unless --journal or --record asked for it (then it is thrown).
std::shared_ptr<live::Keeper> make_keeper(const KeepTexts& texts, const DoorTexts& door_texts, const Door& door, KeepFor who);

}  // namespace hushmill::app
