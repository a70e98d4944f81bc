// Modes from tap tests, kept in a set-up file as tables [[taps]]: of the tool, of the part in its hold, or of the machine.
//
// The file is changed as text, so that comments stay; what was kept for the same thing before is replaced. Any file of TOML will do,
// also one that holds nothing else yet. Throws BadSetup for a file that is not TOML or a field that is wrong.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "setup/setup.hpp"

namespace hushmill::setup {

class Sheet;

/// The tables [[taps]] of a file; empty when it has none.
std::vector<TappedMode> load_taps(const std::filesystem::path& file);

/// Puts `modes`, all of the same thing, into the file, which is made when it is not there. Throws std::runtime_error when the disk
/// does not take it.
void save_taps(const std::filesystem::path& file, TappedOn on, const std::vector<TappedMode>& modes);

/// Of a sheet that is being read.
std::vector<TappedMode> taps_of(Sheet& sheet);

std::string_view word(TappedOn on) noexcept;

}  // namespace hushmill::setup
