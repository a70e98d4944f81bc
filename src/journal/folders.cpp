#include "journal/folders.hpp"

#include "journal/errors.hpp"
#include "platform/platform.hpp"

namespace hushmill::journal {

namespace fs = std::filesystem;

std::optional<fs::path> data_folder() {
  if (const auto home = platform::data_home()) return *home / "hushmill";
  return std::nullopt;
}

std::optional<fs::path> settings_folder() {
  if (const auto home = platform::settings_home()) return *home / "hushmill";
  return std::nullopt;
}

void make_private_folder(const fs::path& folder) {
  if (!platform::make_own_folder(folder))
    throw JournalFailed("folder '" + folder.string() + "' cannot be made; a folder with write permission would be right");
}

void make_private_file(const fs::path& file) {
  if (!platform::make_own_file(file))
    throw JournalFailed("file '" + file.string() + "' cannot be made; a folder with write permission would be right");
}

}  // namespace hushmill::journal
