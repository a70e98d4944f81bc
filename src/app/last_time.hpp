// What comes back next time: the last source with its cut, and how the person likes the screen. One small TOML file in
// the state folder of the XDG Base Directory Specification (version 0.8, 2021).
//
// Reading never fails loudly: a file that is missing or cannot be understood means a first run. Writing goes to a new
// file beside it, which then takes its place, so that a crash leaves the old one or the new one.
#pragma once

#include <filesystem>
#include <optional>

#include "dashboard/dashboard.hpp"

namespace hushmill::app {

struct LastTime {
  dashboard::Liking liking;
  std::optional<dashboard::Choice> choice;
};

/// The file in the state folder; none where there is no such folder.
std::optional<std::filesystem::path> last_time_file();
std::optional<LastTime> read_last_time(const std::filesystem::path& file);
/// False when it cannot be written.
bool write_last_time(const std::filesystem::path& file, const LastTime& last);

}  // namespace hushmill::app
