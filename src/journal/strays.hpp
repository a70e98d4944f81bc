// Sound files in the journal's folder of recordings that no row of the journal knows: recorded without the journal, or left by
// a journal that was deleted. No rule finds them, so a person must be told. Reads the disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

#include "journal/journal.hpp"

namespace hushmill::journal {

struct Stray {
  std::filesystem::path path;  ///< relative to the journal's folder, as in a row
  std::uintmax_t bytes = 0;
};

/// By name. A recording that is being made without the journal now is among them.
std::vector<Stray> strays(Journal& journal);

}  // namespace hushmill::journal
